//! The published schema of a type, with those inside it.

use serde_json::Value;
use utoipa::ToSchema;
use utoipa::openapi::{RefOr, Schema};

/// A type's schema, and those of the types inside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Schemas {
    /// Name of the type.
    pub name: String,
    /// Its schema.
    pub root: Value,
    /// Schemas that it refers to, by name.
    pub components: Vec<(String, Value)>,
}

impl Schemas {
    /// The schemas of a type.
    #[must_use]
    pub fn of<T: ToSchema>() -> Self {
        let mut inside = Vec::new();
        T::schemas(&mut inside);
        let value = |schema: &RefOr<Schema>| serde_json::to_value(schema).unwrap_or_default();
        Self {
            name: T::name().into_owned(),
            root: value(&T::schema()),
            components: inside
                .iter()
                .map(|(name, schema)| (name.clone(), value(schema)))
                .collect(),
        }
    }
}
