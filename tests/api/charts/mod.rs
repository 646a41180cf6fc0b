//! Charts over HTTP, and the pictures themselves.

mod golden;
mod http;
mod layout;
mod points;
mod theme;

use extraction_maths::api::chart::{CHARTS, ChartEntry};
use extraction_maths::api::registry;

/// Every body that the document shows for a chart, by name; the one with many points last.
pub(super) fn bodies(chart: &ChartEntry) -> Vec<(&'static str, &'static str)> {
    let entry = registry::find(chart.calculation).expect("a calculation");
    let named = |name: &&str| entry.examples.iter().find(|example| example.name == *name);
    let own = chart.examples.iter().map(|name| {
        let example = named(name).unwrap_or_else(|| panic!("{}: {name}", chart.name));
        (example.name, example.body)
    });
    let many = chart
        .many
        .iter()
        .map(|many| (many.example.0, many.example.2));
    own.chain(many).collect()
}

/// Every chart with each of its bodies.
pub(super) fn all() -> impl Iterator<Item = (&'static ChartEntry, &'static str, &'static str)> {
    CHARTS.iter().flat_map(|chart| {
        bodies(chart)
            .into_iter()
            .map(move |(name, body)| (chart, name, body))
    })
}

/// The picture of a body, as SVG.
pub(super) fn drawn(chart: &ChartEntry, body: &str, query: &str) -> String {
    use extraction_maths::api::calculation::UNCANCELLED;
    use extraction_maths::api::chart_options::Asked;
    let options = Asked::beside_body(query).expect("options");
    let drawing = chart.read(body.as_bytes()).expect("a drawing");
    drawing.draw(&UNCANCELLED, &options).expect("a picture")
}
