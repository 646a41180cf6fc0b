//! Time of a million Monte Carlo trials of the yield on one thread, both coverage intervals
//! included. `benches/monte_carlo.py` does the same work with numpy.

use divan::Bencher;
use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry::find;
use extraction_maths::maths::uncertainty::correlations::Correlations;
use extraction_maths::maths::uncertainty::monte_carlo::distribution::Distribution;
use extraction_maths::maths::uncertainty::monte_carlo::inputs::Inputs;
use extraction_maths::maths::uncertainty::monte_carlo::propagate::{Settings, Trials, propagated};

fn main() {
    divan::main();
}

/// Two rectangular masses, five readings and a calibration: the lab course's espresso.
const BODY: &str = r#"{"dose_g":18,"beverage_mass_g":36.4,"dose_half_width_g":0.05,
    "beverage_mass_half_width_g":0.1,"tds_readings_percent":[9.05,9.1,9.2,9.1,9.15],
    "tds_uncertainty_percent":0.05,"method":"monte_carlo","trials":1000000}"#;

/// From the bytes of the request to those of the answer.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn million_trials_of_a_request(bencher: Bencher<'_, '_>) {
    let Some(entry) = find("extraction-yield") else {
        return;
    };
    let mut out = Vec::with_capacity(16 * 1024);
    bencher.bench_local(|| {
        out.clear();
        let answered = entry.answer(BODY.as_bytes(), &UNCANCELLED, &mut out);
        divan::black_box(answered.is_ok())
    });
}

/// Four normal inputs added up.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn million_sums_of_four_normals(bencher: Bencher<'_, '_>) {
    let Ok(normal) = Distribution::normal(0.0, 1.0) else {
        return;
    };
    let Ok(inputs) = Inputs::new(vec![normal; 4], &Correlations::none()) else {
        return;
    };
    let sum = |columns: &[Vec<f64>], out: &mut [f64]| {
        for (trial, value) in out.iter_mut().enumerate() {
            *value = columns.iter().map(|column| column[trial]).sum();
        }
    };
    let settings = Settings {
        seed: 1,
        trials: Trials::Fixed(1_000_000),
        probability: 0.95,
    };
    bencher
        .bench_local(|| divan::black_box(propagated(&inputs, &sum, &settings, &|| true).is_ok()));
}
