//! Time of a sweep of 500 shots by the thread of the call alone and with threads lent to it, and of
//! a dial-in from five shots.

#![expect(
    clippy::expect_used,
    reason = "a bench whose request is wrong has to stop"
)]

use std::hint::black_box;

use divan::Bencher;
use extraction_maths::api::calculation::{Calculation, UNCANCELLED};
use extraction_maths::api::calculations::dial_in::DialIn;
use extraction_maths::api::calculations::shot_simulation::ShotSimulation;
use extraction_maths::api::threads::Lent;

fn main() {
    divan::main();
}

const SWEEP: &str = r#"{
    "dose_g": 20, "basket_diameter_mm": 58.4, "grind_diameter_um": 350,
    "water_temperature_c": 93, "target_beverage_mass_g": 40,
    "pressure_profile": {"time_s": [0], "pressure_bar": [9]}
}"#;

const FIVE_SHOTS: &str = r#"{
    "grinder": {"higher_is": "coarser", "smallest_step": 1},
    "shots": [
        {"grind_setting": 20, "dose_g": 18, "basket_diameter_mm": 58.4, "beverage_mass_g": 36, "shot_time_s": 24.1, "tds_percent": 9.3, "first_drop_s": 7.2},
        {"grind_setting": 18, "dose_g": 18, "basket_diameter_mm": 58.4, "beverage_mass_g": 36, "shot_time_s": 26.9, "tds_percent": 9.9, "first_drop_s": 8.0},
        {"grind_setting": 22, "dose_g": 18, "basket_diameter_mm": 58.4, "beverage_mass_g": 36, "shot_time_s": 21.8, "tds_percent": 8.8, "first_drop_s": 6.4},
        {"grind_setting": 16, "dose_g": 18, "basket_diameter_mm": 58.4, "beverage_mass_g": 36, "shot_time_s": 31.0, "tds_percent": 10.4, "first_drop_s": 8.8},
        {"grind_setting": 24, "dose_g": 18, "basket_diameter_mm": 58.4, "beverage_mass_g": 36, "shot_time_s": 19.6, "tds_percent": 8.2, "first_drop_s": 5.9}
    ],
    "target": {"shot_time_s": 28}
}"#;

#[divan::bench(args = [0, 1, 3], sample_count = 15, sample_size = 1)]
fn sweep_of_500_with_threads_lent(bencher: Bencher<'_, '_>, threads: usize) {
    let mut request: <ShotSimulation as Calculation>::Request =
        serde_json::from_str(SWEEP).expect("a request");
    let values: Vec<f64> = (0..500).map(|i| 300.0 + 0.3 * f64::from(i)).collect();
    request.sweep = serde_json::from_value(serde_json::json!([
        {"field": "grind_diameter_um", "values": values}
    ]))
    .expect("a sweep");
    let lend = || Lent {
        threads,
        until_dropped: None,
    };
    let call = UNCANCELLED.lending(&lend);
    bencher.bench_local(|| ShotSimulation::answer(black_box(&request), &call));
}

#[divan::bench(sample_count = 60, sample_size = 1)]
fn dial_in_from_five_shots(bencher: Bencher<'_, '_>) {
    let request: <DialIn as Calculation>::Request =
        serde_json::from_str(FIVE_SHOTS).expect("a request");
    bencher.bench_local(|| DialIn::answer(black_box(&request), &UNCANCELLED));
}
