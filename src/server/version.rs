//! `GET /version`: what is running.

use serde_json::{Value, json};

use super::page::PageSchema;
use crate::api::provenance::MODEL_VERSION;

/// Version of the published contract.
pub(super) const SCHEMA_VERSION: &str = "1";

/// The page.
pub(super) fn version() -> Value {
    let mut version = json!({
        "version": env!("CARGO_PKG_VERSION"),
        "model_version": MODEL_VERSION,
        "schema_version": SCHEMA_VERSION,
    });
    if let Some(commit) = option_env!("EXTRACTION_MATHS_COMMIT") {
        version["commit"] = commit.into();
    }
    version
}

/// Its schema.
pub(super) fn schema() -> PageSchema {
    let text = |description: &str| json!({"type": "string", "description": description});
    PageSchema {
        schema: json!({
            "type": "object",
            "required": ["version", "model_version", "schema_version"],
            "properties": {
                "version": text("Version of the program."),
                "model_version": text("Version of the numbers: raised when any answer changes."),
                "schema_version": text("Version of the contract: the v1 of the paths."),
                "commit": text("Commit that the program was built from."),
            },
        }),
        components: Vec::new(),
        example: json!({
            "version": env!("CARGO_PKG_VERSION"),
            "model_version": MODEL_VERSION,
            "schema_version": SCHEMA_VERSION,
        }),
    }
}
