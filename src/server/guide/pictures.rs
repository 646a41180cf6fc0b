//! The charts of a calculation, each drawn from an example's answer when the page is written.
//!
//! A picture stands in the page itself and not at an address: an image behind a key would stay
//! empty, and one in the page follows its colours. It is drawn twice, for a desk and for a
//! phone, since text that is scaled down cannot be read.

use serde_json::{Map, Value};

use super::trial::spoken;
use crate::api::calculation::{Example, UNCANCELLED};
use crate::api::chart::{self, ChartEntry};
use crate::api::chart_options::ChartOptions;
use crate::api::picture::theme::Theme;
use crate::api::query_text::push_escaped;
use crate::api::registry::Entry;
use crate::server::html::{escaped, with_code};

/// What shows a picture, and its width in pixels; the style sheet chooses by the same names.
const SIZES: [(&str, f64); 2] = [("wide", 760.0), ("narrow", 340.0)];

/// All charts of a calculation.
pub(super) fn all(entry: &Entry) -> String {
    chart::of(entry)
        .filter_map(|chart| one(chart, entry))
        .collect()
}

fn one(chart: &ChartEntry, entry: &Entry) -> Option<String> {
    let mut examples = entry.examples.iter();
    let example = examples.find(|example| chart.examples.first() == Some(&example.name))?;
    let drawn = SIZES.map(|(class, width)| {
        let svg = drawn(chart, example, width)?;
        Some(format!("<div class=\"{class}\">\n{svg}</div>\n"))
    });
    let pictures: String = drawn.into_iter().collect::<Option<_>>()?;
    Some(format!(
        "<figure class=\"chart\">\n{pictures}<figcaption><p><strong>{}</strong>. Example: {}.</p>\n{}</figcaption>\n</figure>\n",
        with_code(chart.summary),
        with_code(example.summary),
        call(chart, entry, example),
    ))
}

/// The picture of an example, in the colours of the page.
fn drawn(chart: &ChartEntry, example: &Example, width: f64) -> Option<String> {
    let options = ChartOptions {
        width,
        theme: Theme::OfPage,
        ..ChartOptions::default()
    };
    let drawing = chart.read(example.body.as_bytes()).ok()?;
    drawing.draw(&UNCANCELLED, &options).ok()
}

/// How a program gets the picture.
fn call(chart: &ChartEntry, entry: &Entry, example: &Example) -> String {
    let (path, tag) = (escaped(chart.path), chart.tag.name());
    let id = chart.operation_id();
    let document = format!(
        "POST the same request to <code>{path}</code>, as SVG or PNG: <a href=\"/docs/#/{tag}/{id}\">{id}</a>."
    );
    let image = if entry.is_flat() {
        let address = escaped(&address(chart, example));
        format!(
            "<br>Or as the address of an image: <a href=\"{address}\"><code>{address}</code></a>"
        )
    } else {
        String::new()
    };
    format!("<p class=\"small\">{document}{image}</p>\n")
}

/// The address that an `<img>` shows the example by.
fn address(chart: &ChartEntry, example: &Example) -> String {
    let request: Map<String, Value> = serde_json::from_str(example.body).unwrap_or_default();
    let mut address = chart.path.to_owned();
    // no picture shows the derivation
    let drawn = request.iter().filter(|(name, _)| *name != "workings");
    for (place, (name, value)) in drawn.enumerate() {
        address.push(if place == 0 { '?' } else { '&' });
        push_escaped(name, &mut address);
        address.push('=');
        push_escaped(&spoken(value), &mut address);
    }
    address
}
