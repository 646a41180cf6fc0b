//! What the document says of the body of a page.

use serde_json::{Value, json};

use crate::api::registry::Schemas;

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
