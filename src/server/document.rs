//! The OpenAPI document, built from the same registry and the same table as the routes.

mod batch;
mod charts;
mod forms;
mod look_up;
mod operations;
mod problems;
mod schemas;

use serde_json::{Map, Value, json};

pub(super) use operations::COMMON;

use super::StartError;
use super::page::{KNOWLEDGE, OPERATION};
use super::pages;
use crate::api::calculation::Tag;
use crate::api::chart::CHARTS;
use crate::api::registry::Entry;

const DESCRIPTION: &str = "\
Does this cup meet the standard, by measurement; what does the recipe become in another basket or at another \
altitude; what to change next. Stateless: the same request gets the same answer, every answer names its sources, \
and no answer depends on the clock. [`/docs/calculations`](/docs/calculations) has a page for each calculation: formulas, \
fields, sources, and a call to try.

**Numbers** are plain JSON numbers, computed in double precision and never rounded. The unit stands at the end of a \
field's name and in `x-unit`. In a request `null` means absent; an answer never holds `null`.

**Failures** after routing are problem documents (RFC 9457) that name every fault of a request at once. The few that \
are answered before routing (broken HTTP framing, a head that comes too slowly or is too large) have empty bodies, as has the 431 to more than 16 KiB of headers. The \
`type` of a problem leads to a page about it; `/problems` lists all.

**Forms**: the query of any calculation may name a `format`, outputs to `select`, a `decimal` comma, and whether to \
add `display`; without `format`, `Accept` decides. Rows have the columns of the request, those of the outputs that are \
selected, or of all, `display.` columns where asked for, and `problem`. A value that is left empty is none, as forms send it. A text of one output is made for one cell of a spreadsheet.

**Methods**: a calculation also answers `QUERY` (RFC 10008) with the same body as `POST`, and the same answer; being \
safe, it may be retried and kept. `Accept-Query` says so. An answer to a flat request names in `Content-Location` the \
address that repeats it.

**Keeping**: answers to GET and QUERY, and reference pages, carry an `ETag` that is a hash of the body; `If-None-Match` \
gives 304. Rows carry none: they are answered while they come. HEAD is answered wherever GET is.

**Compression**: bodies from 1 KiB on are sent with gzip to those who accept it. A request may be sent with gzip or \
deflate; inflated it must keep the limit of bodies, and be no more than 20 times what was sent. Rows are sent and \
answered as they are.

**Browsers**: pages of other origins may call the service, unless the operator says otherwise; a preflight that is \
refused is the problem `preflight_refused`.

**Limits** stand in `/v1/capabilities`. Heavy calculations are answered, refused as `overloaded` after a short wait, or \
stopped at their deadline. A service may ask for a key on everything under `/v1/`, and may limit how often one key or \
one address calls; then `ratelimit-policy` and `ratelimit` say how the caller stands. A key in a browser is public, and a \
price in a kept address is logged: let the till's server side do the calling.

**Cautions** in an answer say what to mind. Hot water, steam and pressure injure: follow local codes and leave \
pressure equipment to licensed service.";

/// The document of a service with these calculations.
#[must_use]
pub fn of(registry: &'static [Entry]) -> Value {
    let mut components = Components::default();
    let mut paths = components.calculations(registry);
    let mut batch = components.batch(registry);
    behind_the_gate(&mut batch);
    let path = crate::server::batch::PATH;
    paths.insert(path.to_owned(), json!({"post": batch}));
    for page in pages::all() {
        paths.insert(page.path.to_owned(), json!({"get": components.page(page)}));
    }
    components.add_problem();
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "extraction-maths",
            "summary": env!("CARGO_PKG_DESCRIPTION"),
            "description": DESCRIPTION,
            "version": env!("CARGO_PKG_VERSION"),
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/", "description": "This service."}],
        "security": [],
        "tags": tags(),
        "paths": paths,
        "components": {
            "schemas": components.schemas,
            "responses": components.responses,
            "securitySchemes": {"key": key()},
        },
    })
}

fn key() -> Value {
    json!({
        "type": "http",
        "scheme": "bearer",
        "description": "Needed under /v1/ when the service was given keys.",
    })
}

/// Marks an operation that may need a key and may be limited in how often it is called.
fn behind_the_gate(operation: &mut Value) {
    operation["security"] = json!([{}, {"key": []}]);
}

/// The document as JSON text, indented, with a last line end.
///
/// # Errors
/// When it cannot be written, which is a mistake of ours.
pub fn json(document: &Value) -> Result<String, StartError> {
    Ok(serde_json::to_string_pretty(document)? + "\n")
}

/// The document as YAML text.
///
/// # Errors
/// When it cannot be written, which is a mistake of ours.
pub fn yaml(document: &Value) -> Result<String, StartError> {
    Ok(yaml_serde::to_string(document)?)
}

fn tags() -> Vec<Value> {
    let tag = |name: &str, description: &str| json!({"name": name, "description": description});
    let mut tags: Vec<_> = Tag::ALL
        .iter()
        .map(|t| tag(t.name(), t.description()))
        .collect();
    tags.push(tag(batch::TAG, "Many calls in one request."));
    tags.push(tag(
        KNOWLEDGE,
        "Where the numbers are from and what to mind about them.",
    ));
    tags.push(tag(OPERATION, "The running service."));
    tags
}

#[derive(Default)]
pub(super) struct Components {
    pub(super) schemas: Map<String, Value>,
    responses: Map<String, Value>,
}

impl Components {
    /// The paths of the calculations, then those of the charts.
    fn calculations(&mut self, registry: &'static [Entry]) -> Map<String, Value> {
        let mut paths = Map::new();
        for entry in registry {
            let mut operations = json!({"post": self.calculation(entry)});
            if entry.is_flat() {
                operations["get"] = self.look_up(entry, &operations["post"]);
                look_up::add_rows(entry, &mut operations["post"]);
            }
            if let Some(columnar) = &entry.columnar {
                forms::add_table(entry, columnar, &mut operations["post"]);
            }
            paths.insert(entry.path().to_owned(), operations);
        }
        let drawn = CHARTS
            .iter()
            .filter_map(|chart| Some((chart, chart.entry(registry)?)));
        paths.extend(drawn.map(|(chart, entry)| (chart.path.to_owned(), self.chart(chart, entry))));
        paths
    }
}
