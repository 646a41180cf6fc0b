//! `GET /v1`: the calculations that there are.

use actix_web::HttpResponse;
use serde::Serialize;
use serde_json::{Value, json};
use utoipa::ToSchema;

use super::guide;
use super::mount;
use super::page::{PageSchema, list_schema};
use super::pages::listed;
use crate::api::chart;
use crate::api::registry::{Entry, REGISTRY};

/// A calculation of the service.
#[derive(Debug, Serialize, ToSchema)]
struct CalculationEntry {
    /// Its name, as in a batch.
    name: &'static str,
    /// Its path.
    path: &'static str,
    /// Its page for people: formulas, fields, sources, and a call to try.
    page: String,
    /// What it computes, in one line.
    summary: &'static str,
    /// Its group in the document.
    tag: &'static str,
    /// Whether its request is flat, so that it fits a query or a row.
    flat: bool,
    /// Methods that its path answers.
    methods: Vec<&'static str>,
    /// Paths of the charts that draw its answer; left out where there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    charts: Vec<&'static str>,
}

fn described(entry: &'static Entry) -> CalculationEntry {
    CalculationEntry {
        name: entry.name,
        path: entry.path(),
        page: guide::path(entry),
        summary: entry.summary,
        tag: entry.tag.name(),
        flat: entry.is_flat(),
        methods: mount::methods(entry).split(", ").collect(),
        charts: chart::of(entry).map(|chart| chart.path).collect(),
    }
}

/// The page.
pub(super) fn page(registry: &'static [Entry]) -> HttpResponse {
    let entries: Vec<_> = registry.iter().map(described).collect();
    listed("calculations", &entries)
}

/// Its schema, with the first calculation as the example.
pub(super) fn schema() -> PageSchema {
    let first: Vec<Value> = REGISTRY
        .iter()
        .take(1)
        .map(|entry| json!(described(entry)))
        .collect();
    list_schema::<CalculationEntry>(
        "calculations",
        "All calculations.",
        json!({"calculations": first}),
    )
}
