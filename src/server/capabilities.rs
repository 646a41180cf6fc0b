//! What the running service can do and how much of it: `GET /v1/capabilities`.

mod charts;

use std::time::Duration;

use actix_web::HttpResponse;
use serde::Serialize;
use serde_json::{Value, json};
use utoipa::ToSchema;

use super::gate::{HEADER_BYTES, URI_BYTES};
use super::inflate::MOST_GROWTH;
use super::page::{Asked, PageSchema};
use super::pages::one;
use super::state::State;
use super::version::SCHEMA_VERSION;
use super::{CONNECTIONS_PER_WORKER, HEAD_DEADLINE, batch, compute};
use super::{form, rows};
use crate::api::calculation::Weight;
use crate::api::decode::MOST_FAULTS;
use crate::api::limits::{BATCH_BYTES, BATCH_CALLS, LIST_ITEMS, RESPONSE_BYTES, TEXT_CHARACTERS};
use crate::api::provenance::MODEL_VERSION;
use crate::api::registry::Entry;
use crate::api::rows::{LONGEST_ROW, MOST_ROWS};
use crate::api::schemas::Schemas;
use crate::api::shape::Shape;
use charts::ChartCapabilities;

/// Calculations, formats, limits, settings in force and versions.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(super) struct Capabilities {
    /// Version of the program.
    version: &'static str,
    /// Version of the numbers: raised when any answer changes.
    model_version: &'static str,
    /// Version of the contract.
    schema_version: &'static str,
    /// Every calculation.
    calculations: Vec<CalculationCapability>,
    /// The charts, and how they can be asked for.
    charts: ChartCapabilities,
    /// Media types of requests: JSON everywhere, the others where the request is flat or a series.
    request_formats: Vec<&'static str>,
    /// Media types of answers that every calculation has.
    answer_formats: Vec<&'static str>,
    /// How much one request may be.
    limits: Limits,
    /// Who may call, and how often.
    access: AccessRules,
}

/// What a call of one calculation may use.
#[derive(Debug, Clone, Serialize, ToSchema)]
struct CalculationCapability {
    /// Its name, also in a batch.
    name: &'static str,
    /// Its path.
    path: String,
    /// Whether its request fits a query or a row: numbers, words and lists of them.
    flat: bool,
    /// Whether it is always worked on the compute pool, where it may be refused as `overloaded`.
    heavy: bool,
    /// Most work of one call in units of one light call; more is `work_too_large`.
    #[schema(minimum = 1)]
    cost_budget: u64,
    /// Time in which a call on the compute pool is answered or stopped.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    deadline_s: Option<f64>,
    /// Largest JSON body in bytes.
    body_bytes: usize,
}

/// How much one request may be, and how long it may take.
#[derive(Debug, Clone, Serialize, ToSchema)]
struct Limits {
    /// Largest JSON body in bytes, where a calculation does not name another.
    body_bytes: usize,
    /// Largest body of a batch in bytes.
    batch_body_bytes: usize,
    /// Most calls of a batch.
    batch_calls: usize,
    /// Largest JSON answer in bytes.
    response_bytes: usize,
    /// Longest path and query in bytes.
    uri_bytes: usize,
    /// Longest sum of all header names and values in bytes.
    header_bytes: usize,
    /// Longest text of a field in code points, where the field does not name another.
    text_characters: usize,
    /// Longest list of a field, where the field does not name another.
    list_items: usize,
    /// Objects and lists inside each other, in the deepest request there is.
    nesting: usize,
    /// Faults that one answer names.
    faults: usize,
    /// Rows of one call.
    rows: u64,
    /// Longest row, its line end included.
    row_bytes: usize,
    /// Time for which rows may stand still.
    rows_idle_s: f64,
    /// Bytes of a body that come of one byte of its compressed form.
    inflate_ratio: usize,
    /// Time in which the head of a request must have arrived.
    head_deadline_s: f64,
    /// Time in which a body must have arrived.
    body_deadline_s: f64,
    /// Time in which all calls of a batch must be answered.
    batch_deadline_s: f64,
    /// Heavy calculations worked at once.
    compute_permits: usize,
    /// Heavy calculations that wait for a permit.
    compute_queue: usize,
    /// Longest wait for a permit.
    compute_wait_s: f64,
    /// Connections that one worker holds at once.
    connections_per_worker: usize,
}

/// Who may call, and how often.
#[derive(Debug, Clone, Serialize, ToSchema)]
struct AccessRules {
    /// Whether calls under `/v1/` need a key.
    key_required: bool,
    /// How often one key, or one address, may call; left out when there is no limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    quota: Option<QuotaRule>,
}

/// How often one caller may call. A batch counts as many calls as it holds.
#[derive(Debug, Clone, Serialize, ToSchema)]
struct QuotaRule {
    /// Calls that come back every second.
    calls_per_second: u32,
    /// Calls that can be made at once.
    burst_calls: u32,
}

impl Capabilities {
    /// Those of a running service.
    pub(super) fn of(state: &State) -> Self {
        let (settings, access) = (state.settings(), state.access());
        let calculations = state
            .registry()
            .iter()
            .map(|entry| CalculationCapability::of(entry, settings.body_limit_of(entry)));
        Self {
            version: env!("CARGO_PKG_VERSION"),
            model_version: MODEL_VERSION,
            schema_version: SCHEMA_VERSION,
            calculations: calculations.collect(),
            charts: ChartCapabilities::of(state.registry(), settings),
            request_formats: vec!["application/json", rows::CSV, rows::NDJSON],
            answer_formats: form::OFFERS.iter().map(|(name, _)| *name).collect(),
            limits: Limits::of(state),
            access: AccessRules {
                key_required: access.needs_key(),
                quota: access.quota().map(|quota| QuotaRule {
                    calls_per_second: quota.per_second(),
                    burst_calls: quota.burst(),
                }),
            },
        }
    }
}

impl CalculationCapability {
    fn of(entry: &'static Entry, body_bytes: usize) -> Self {
        let is_heavy = entry.weight == Weight::Heavy;
        Self {
            name: entry.name,
            path: entry.path().to_owned(),
            flat: entry.is_flat(),
            heavy: is_heavy,
            cost_budget: entry.budget,
            deadline_s: (entry.weight != Weight::Light).then(|| seconds(entry.deadline)),
            body_bytes,
        }
    }
}

impl Limits {
    fn of(state: &State) -> Self {
        let (settings, pool) = (state.settings(), state.pool());
        // a request in a batch stands inside an object, a list and an object
        let deepest = state
            .registry()
            .iter()
            .map(|entry| depth(entry.shape()))
            .max();
        Self {
            body_bytes: settings.body_limit(),
            batch_body_bytes: BATCH_BYTES,
            batch_calls: BATCH_CALLS,
            response_bytes: RESPONSE_BYTES,
            uri_bytes: URI_BYTES,
            header_bytes: HEADER_BYTES,
            text_characters: TEXT_CHARACTERS,
            list_items: LIST_ITEMS,
            nesting: 3 + deepest.unwrap_or_default(),
            faults: MOST_FAULTS,
            rows: MOST_ROWS,
            row_bytes: LONGEST_ROW,
            rows_idle_s: seconds(settings.rows_idle()),
            inflate_ratio: MOST_GROWTH,
            head_deadline_s: seconds(HEAD_DEADLINE),
            body_deadline_s: seconds(settings.body_deadline()),
            batch_deadline_s: seconds(batch::DEADLINE),
            compute_permits: pool.size(),
            compute_queue: pool.queue(),
            compute_wait_s: seconds(compute::WAIT),
            connections_per_worker: CONNECTIONS_PER_WORKER,
        }
    }
}

const fn seconds(time: Duration) -> f64 {
    time.as_secs_f64()
}

/// Objects and lists inside each other in a request of this shape.
fn depth(shape: &Shape) -> usize {
    match shape {
        Shape::Object(fields) => 1 + fields.iter().map(|f| depth(&f.shape)).max().unwrap_or(0),
        Shape::List { item, .. } => 1 + depth(item),
        Shape::Number(_) | Shape::Text { .. } | Shape::Flag => 0,
    }
}

/// The page.
pub(super) fn page(asked: &Asked<'_>) -> HttpResponse {
    one(&Capabilities::of(asked.state))
}

/// How it looks.
pub(super) fn schema() -> PageSchema {
    let Schemas {
        name,
        root,
        mut components,
    } = Schemas::of::<Capabilities>();
    components.push((name.clone(), root));
    PageSchema {
        schema: json!({"$ref": format!("#/components/schemas/{name}")}),
        components,
        example: example(),
    }
}

/// A short one for the document, the same on every machine.
pub(super) fn example() -> Value {
    json!({
        "version": env!("CARGO_PKG_VERSION"),
        "model_version": MODEL_VERSION,
        "schema_version": SCHEMA_VERSION,
        "calculations": [{
            "name": "ratio",
            "path": "/v1/ratio",
            "flat": true,
            "heavy": false,
            "cost_budget": 100_000,
            "body_bytes": 262_144,
        }],
        "charts": charts::example(),
        "request_formats": ["application/json", rows::CSV, rows::NDJSON],
        "answer_formats": form::OFFERS.map(|(name, _)| name),
        "limits": {
            "body_bytes": 262_144,
            "batch_body_bytes": BATCH_BYTES,
            "batch_calls": BATCH_CALLS,
            "response_bytes": RESPONSE_BYTES,
            "uri_bytes": URI_BYTES,
            "header_bytes": HEADER_BYTES,
            "text_characters": TEXT_CHARACTERS,
            "list_items": LIST_ITEMS,
            "nesting": 5,
            "faults": MOST_FAULTS,
            "rows": MOST_ROWS,
            "row_bytes": LONGEST_ROW,
            "rows_idle_s": 30.0,
            "inflate_ratio": MOST_GROWTH,
            "head_deadline_s": seconds(HEAD_DEADLINE),
            "body_deadline_s": 5.0,
            "batch_deadline_s": seconds(batch::DEADLINE),
            "compute_permits": 4,
            "compute_queue": 8,
            "compute_wait_s": seconds(compute::WAIT),
            "connections_per_worker": CONNECTIONS_PER_WORKER,
        },
        "access": {"key_required": true, "quota": {"calls_per_second": 50, "burst_calls": 200}},
    })
}
