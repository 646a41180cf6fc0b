//! Time of a call of `stop-time`: a first one with 600 readings, and one that goes on with a
//! single one. Run with `cargo bench --bench stop_time`.

use std::hint::black_box;

use divan::Bencher;
use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry::REGISTRY;
use extraction_maths::maths::MathsError;
use extraction_maths::maths::stop::drain::learned;
use extraction_maths::maths::stop::{Settings, Tracker};
use serde_json::{Value, json};

fn main() {
    divan::main();
}

/// A minute of readings of a slow shot, in the steps of a scale.
fn readings() -> Vec<(f64, f64)> {
    let times = (0_u32..600).map(|number| f64::from(number) / 10.0);
    times
        .map(|time_s| {
            let since_s = (time_s - 6.0).max(0.0);
            let mass_g = 0.62 * since_s + 0.09 * libm::sin(7.0 * time_s);
            (time_s, libm::round(10.0 * mass_g) / 10.0)
        })
        .collect()
}

fn request(readings: &[(f64, f64)], resume: &Value) -> String {
    let (time_s, mass_g): (Vec<f64>, Vec<f64>) = readings.iter().copied().unzip();
    json!({"time_s": time_s, "mass_g": mass_g, "resume": resume, "target_beverage_mass_g": 36.0})
        .to_string()
}

fn answer(body: &str, out: &mut Vec<u8>) -> bool {
    out.clear();
    let entry = REGISTRY.iter().find(|entry| entry.name == "stop-time");
    entry.is_some_and(|entry| entry.answer(body.as_bytes(), &UNCANCELLED, out).is_ok())
}

/// From the bytes of the request to the bytes of the answer.
fn bench(bencher: Bencher<'_, '_>, body: &str) {
    let mut out = Vec::with_capacity(16 * 1024);
    bencher.bench_local(|| answer(black_box(body), &mut out));
}

#[divan::bench]
fn first_call_of_600_readings(bencher: Bencher<'_, '_>) {
    bench(bencher, &request(&readings(), &Value::Null));
}

#[divan::bench]
fn next_call_of_1_reading(bencher: Bencher<'_, '_>) {
    let readings = readings();
    let mut out = Vec::new();
    answer(&request(&readings[..500], &Value::Null), &mut out);
    let before: Value = serde_json::from_slice(&out).unwrap_or_default();
    bench(bencher, &request(&readings[500..501], &before["resume"]));
}

/// The maths alone.
#[divan::bench]
fn filter_of_600_readings(bencher: Bencher<'_, '_>) {
    let readings = readings();
    let settings = Settings {
        target_g: 36.0,
        command_latency_s: Settings::USUAL_LATENCY_S,
        scale_lag_s: Settings::USUAL_LAG_S,
        transport_delay_s: Settings::USUAL_DELAY_S,
    };
    bencher.bench_local(|| -> Result<_, MathsError> {
        let mut tracker = Tracker::new(settings, learned(&[]))?;
        for (time_s, mass_g) in black_box(&readings) {
            tracker.push(*time_s, *mass_g)?;
        }
        Ok(tracker.outlook())
    });
}
