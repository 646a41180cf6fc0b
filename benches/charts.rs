//! Time of one chart, from the bytes of a request to the bytes of the picture, on one thread.
//! Run with `cargo bench --bench charts`; `benches/charts.py` does the same with matplotlib.

use divan::Bencher;
use divan::counter::ItemsCount;
use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::chart::{CHARTS, ChartEntry};
use extraction_maths::api::chart_options::ChartOptions;
use extraction_maths::api::picture::png;
use extraction_maths::api::registry;
use serde_json::{Value, json};

fn main() {
    divan::main();
}

/// Brews on one chart: every one weighed, measured, labelled, and with or without uncertainty.
fn brews(count: u32, is_uncertain: bool) -> String {
    let brew = |number: u32| {
        let part = f64::from(number % 97) / 97.0;
        let other = f64::from(number % 31) / 31.0;
        let mut brew = json!({
            "label": format!("brew {number}"),
            "dose_g": 20.0,
            "beverage_mass_g": 260.0 + 70.0 * part,
            "tds_percent": 1.1 + 0.4 * other,
        });
        if is_uncertain {
            brew["dose_uncertainty_g"] = 0.05.into();
            brew["tds_uncertainty_percent"] = 0.02.into();
        }
        brew
    };
    let points: Vec<Value> = (0..count).map(brew).collect();
    json!({"brew_kind": "filter", "points": points}).to_string()
}

fn svg(chart: &ChartEntry, body: &str) -> Option<String> {
    let drawing = chart.read(body.as_bytes()).ok()?;
    drawing.draw(&UNCANCELLED, &ChartOptions::default()).ok()
}

fn bench(bencher: Bencher<'_, '_>, name: &str, body: &str) {
    let chart = CHARTS.iter().find(|chart| chart.name == name);
    let charts = bencher.counter(ItemsCount::new(1_usize));
    charts.bench_local(|| divan::black_box(chart.and_then(|chart| svg(chart, body))).is_some());
}

#[divan::bench(args = [1, 100, 500])]
fn strength_and_yield(bencher: Bencher<'_, '_>, count: u32) {
    bench(bencher, "strength-and-yield", &brews(count, false));
}

#[divan::bench(args = [1, 100, 500])]
fn strength_and_yield_with_ellipses(bencher: Bencher<'_, '_>, count: u32) {
    bench(bencher, "strength-and-yield", &brews(count, true));
}

#[divan::bench(args = ["uncertainty", "boiling-point", "shot", "simulation"])]
fn other(bencher: Bencher<'_, '_>, name: &str) {
    let chart = CHARTS.iter().find(|chart| chart.name == name);
    let found =
        chart.and_then(|chart| registry::find(chart.calculation).zip(chart.examples.first()));
    let example = found.and_then(|(entry, first)| entry.examples.iter().find(|e| e.name == *first));
    bench(bencher, name, example.map_or("", |example| example.body));
}

/// The pixels alone.
#[divan::bench(args = [1, 100])]
fn pixels_of_strength_and_yield(bencher: Bencher<'_, '_>, count: u32) {
    let chart = CHARTS
        .iter()
        .find(|chart| chart.name == "strength-and-yield");
    let svg = chart
        .and_then(|chart| svg(chart, &brews(count, true)))
        .unwrap_or_default();
    let charts = bencher.counter(ItemsCount::new(1_usize));
    charts.bench_local(|| divan::black_box(png::of(&svg)).is_ok());
}
