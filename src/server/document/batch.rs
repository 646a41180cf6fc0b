//! The batch in the document.

use serde_json::{Map, Value, json};

use super::operations::{COMMON, with_headers};
use super::{Components, forms};
use crate::api::batch::{self, Run};
use crate::api::batch_schema;
use crate::api::calculation::UNCANCELLED;
use crate::api::limits::{BATCH_CALLS, RESPONSE_BYTES};
use crate::api::problem::ProblemCode;
use crate::api::registry::Entry;
use crate::api::schemas::Schemas;
use crate::api::threads::Lent;
use crate::server::batch::DEADLINE;

impl Components {
    /// The operation that answers batches of these calculations.
    pub(super) fn batch(&mut self, registry: &'static [Entry]) -> Value {
        let request = self.add(batch_schema::request());
        // a request that is no object spoils its own item, and not the batch
        let call = &mut self.schemas["BatchCall"]["properties"]["request"];
        if let Some(schema) = call.as_object_mut() {
            schema.shift_remove("type");
        }
        let answers = self.add(batch_schema::response());
        let example = batch_schema::example(registry);
        let mut responses = Map::new();
        responses.insert("200".to_owned(), with_headers(json!({
            "description": "One answer or problem for each call, in order.",
            "content": {"application/json": {"schema": answers, "example": answered(&example, registry)}},
        })));
        let codes = COMMON.into_iter().chain([ProblemCode::Overloaded]);
        for code in codes.filter(|code| *code != ProblemCode::NotFound) {
            responses.insert(code.status().to_string(), self.reference(code));
        }
        json!({
            "tags": [TAG],
            "summary": "Many calls at once",
            "description": description(),
            "operationId": "compute_batch",
            "parameters": [forms::teacher_key()],
            "requestBody": {
                "required": true,
                "description": "The calls; see the example.",
                "content": {"application/json": {"schema": request, "example": example}},
            },
            "responses": responses,
        })
    }

    fn add(&mut self, schemas: Schemas) -> Value {
        let reference = json!({"$ref": format!("#/components/schemas/{}", schemas.name)});
        let root = [(schemas.name, schemas.root)];
        for (name, schema) in schemas.components.into_iter().chain(root) {
            self.schemas.insert(name, schema);
        }
        reference
    }
}

/// Group of the batch in the document.
pub(super) const TAG: &str = "batch";

fn description() -> String {
    format!(
        "Up to {BATCH_CALLS} calls of one calculation or of several, answered in order. A call that fails has its own \
         `status` and `problem`, with pointers into its own request, and spoils no other: the status of the whole is \
         200. A name that is no calculation is `not_found`. When the answers fill the {RESPONSE_BYTES} bytes of a \
         response, the calls after them are `work_too_large`; calls that have no answer after {} s are \
         `deadline_exceeded`: send those again. Against the quota a batch counts as many calls as it holds, and all \
         of the burst at most.",
        DEADLINE.as_secs(),
    )
}

fn answered(example: &Value, registry: &'static [Entry]) -> Value {
    let text = example.to_string();
    let work = |entry: &'static Entry, body: &[u8]| {
        let mut out = Vec::new();
        entry.answer(body, &UNCANCELLED, &mut out).map(|()| out)
    };
    let run = Run {
        registry,
        lend: &Lent::default,
        request_id: "5f0c8e",
        work: &work,
    };
    let answer = batch::read(text.as_bytes()).map(|batch| batch::answer(&batch, run));
    answer.map_or(Value::Null, |bytes| {
        serde_json::from_slice(&bytes).unwrap_or_default()
    })
}
