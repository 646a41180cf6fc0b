//! Time of the analysis of a recorded shot, by the number of its readings.
//! Run with `cargo bench --bench shots`.

#[path = "../tests/shared/scale_stream.rs"]
mod scale_stream;

use std::hint::black_box;

use divan::Bencher;
use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry;
use extraction_maths::maths::shot::analysis::USUAL_LAG;
use extraction_maths::maths::shot::{Analysis, Recording};
use scale_stream::{Draws, Recorded, Scale, Truth};

fn main() {
    divan::main();
}

/// A shot of a minute with this many readings.
fn recorded(count: u32) -> Recorded {
    let mut draws = Draws::seeded(7);
    let truth = Truth::new(12.0, (0.5, 1.0, 6.0), 54.0, 0.6);
    let scale = Scale {
        interval_s: 60.0 / f64::from(count),
        jitter_s: 0.1 * 60.0 / f64::from(count),
        lost: 0.0,
        ..Scale::drawn(&mut draws)
    };
    Recorded::of(&truth, &scale, &mut draws, &|_| 0.0)
}

#[divan::bench(args = [300, 600, 10_000])]
fn analysis(bencher: Bencher<'_, '_>, count: u32) {
    let recorded = recorded(count);
    bencher.bench_local(|| {
        Analysis::of(black_box(&Recording {
            times_s: &recorded.time_s,
            masses_g: &recorded.mass_g,
            pressure: None,
            pump_on_s: 0.0,
            stopped_s: Some(54.0),
            lag: USUAL_LAG,
        }))
    });
}

/// From the bytes of a request to the bytes of the answer.
#[divan::bench(args = [300, 600, 10_000])]
fn answer(bencher: Bencher<'_, '_>, count: u32) {
    let recorded = recorded(count);
    let body = serde_json::json!({
        "time_s": recorded.time_s, "mass_g": recorded.mass_g, "dose_g": 18.0, "stopped_at_s": 54.0,
    })
    .to_string();
    let Some(entry) = registry::find("shot-readings") else {
        return;
    };
    let mut out = Vec::new();
    bencher.bench_local(|| {
        out.clear();
        black_box(
            entry
                .answer(body.as_bytes(), &UNCANCELLED, &mut out)
                .is_ok(),
        )
    });
}
