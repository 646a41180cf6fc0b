//! What a page is: where it stands, what the document says of it, and what it answers.

use actix_web::{HttpRequest, HttpResponse};
use serde_json::{Value, json};

use super::state::State;
use crate::api::registry::Schemas;

/// A page: where it is, what the document says of it, and what it answers.
#[derive(Debug)]
pub(super) struct Page {
    pub(super) path: &'static str,
    pub(super) operation_id: &'static str,
    pub(super) summary: &'static str,
    pub(super) description: &'static str,
    pub(super) tag: &'static str,
    pub(super) status: u16,
    pub(super) media_type: &'static str,
    pub(super) schema: fn() -> PageSchema,
    /// For how long the page may be kept; without it, not at all.
    pub(super) keep: Option<&'static str>,
    /// What stands for the braces in the path.
    pub(super) parameter: Option<Parameter>,
    /// Whether a browser gets the same as HTML, and a type that is neither is refused.
    pub(super) has_html: bool,
    /// Whether the document must be written first.
    pub(super) needs_document: bool,
    pub(super) answer: fn(&Asked<'_>) -> HttpResponse,
}

impl Page {
    /// What most pages are: one form at one path.
    pub(super) const PLAIN: Self = Self {
        path: "",
        operation_id: "",
        summary: "",
        description: "",
        tag: OPERATION,
        status: 200,
        media_type: JSON,
        schema: || text(""),
        keep: None,
        parameter: None,
        has_html: false,
        needs_document: false,
        answer: |_| HttpResponse::NoContent().finish(),
    };
}

/// A part of a path that is one of a list of words.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parameter {
    pub(super) name: &'static str,
    pub(super) description: &'static str,
    pub(super) words: fn() -> Vec<&'static str>,
}

/// What a page can be made from; it passes for the state, which is all that most need.
#[derive(Debug)]
pub(super) struct Asked<'a> {
    pub(super) state: &'a State,
    pub(super) request: &'a HttpRequest,
}

impl std::ops::Deref for Asked<'_> {
    type Target = State;

    fn deref(&self) -> &State {
        self.state
    }
}

/// Group of the pages about the running service.
pub(super) const OPERATION: &str = "operation";
/// Group of the pages about the numbers.
pub(super) const KNOWLEDGE: &str = "knowledge";

/// Media type of most pages.
pub(super) const JSON: &str = "application/json";
/// Media type of a plain text.
pub(super) const TEXT: &str = "text/plain; charset=utf-8";

/// What a page's body looks like.
#[derive(Debug)]
pub(super) struct PageSchema {
    pub(super) schema: Value,
    pub(super) components: Vec<(String, Value)>,
    pub(super) example: Value,
}

/// A text.
pub(super) fn text(example: &str) -> PageSchema {
    PageSchema {
        schema: json!({"type": "string"}),
        components: Vec::new(),
        example: example.into(),
    }
}

/// An object with one list of items of a type.
pub(super) fn list_schema<T: utoipa::ToSchema>(
    name: &str,
    description: &str,
    example: Value,
) -> PageSchema {
    let Schemas {
        name: item,
        root,
        mut components,
    } = Schemas::of::<T>();
    let reference = format!("#/components/schemas/{item}");
    components.push((item, root));
    PageSchema {
        schema: json!({
            "type": "object",
            "required": [name],
            "properties": {name: {
                "type": "array",
                "description": description,
                "items": {"$ref": reference},
            }},
        }),
        components,
        example,
    }
}

/// One item of a type.
pub(super) fn item_schema<T: utoipa::ToSchema>(example: Value) -> PageSchema {
    let Schemas {
        name,
        root,
        mut components,
    } = Schemas::of::<T>();
    let reference = format!("#/components/schemas/{name}");
    components.push((name, root));
    PageSchema {
        schema: json!({"$ref": reference}),
        components,
        example,
    }
}
