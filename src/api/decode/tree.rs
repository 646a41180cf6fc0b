//! A JSON text as a tree that keeps the order and the duplicates of its fields.
//!
//! Read only when a request was refused, and guided by the request's shape: what the shape
//! does not know is skipped without being built, however deep or long it is.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};

use crate::api::shape::Shape;

/// A value of a refused request.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node {
    /// JSON null: absent.
    Null,
    /// True or false.
    Flag,
    /// A number; a fraction or an integer that is not whole stays what it is.
    Number(f64),
    /// A text that says NaN or infinity where a number is meant; never out of JSON.
    NotFinite(String),
    /// A text.
    Text(String),
    /// A list, and how many items it had when not all were kept.
    List(Vec<Node>, usize),
    /// An object with its fields in order, duplicates kept.
    Object(Vec<(String, Node)>),
    /// Something that the shape has no place for.
    Unknown,
}

/// The tree of a whole text.
///
/// # Errors
/// When the text is not JSON.
pub(super) fn read(body: &[u8], shape: &Shape) -> Result<Node, serde_json::Error> {
    let mut reader = serde_json::Deserializer::from_slice(body);
    let node = Seed(Some(shape)).deserialize(&mut reader)?;
    reader.end()?;
    Ok(node)
}

struct Seed<'s>(Option<&'s Shape>);

impl<'de> DeserializeSeed<'de> for Seed<'_> {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(self, inner: D) -> Result<Node, D::Error> {
        match self.0 {
            // iterative in the reader, so no depth of nesting can exhaust the stack
            None => IgnoredAny::deserialize_from(inner),
            Some(shape) => inner.deserialize_any(Build(shape)),
        }
    }
}

/// `IgnoredAny` as a node.
trait DeserializeUnknown {
    fn deserialize_from<'de, D: Deserializer<'de>>(inner: D) -> Result<Node, D::Error>;
}

impl DeserializeUnknown for IgnoredAny {
    fn deserialize_from<'de, D: Deserializer<'de>>(inner: D) -> Result<Node, D::Error> {
        inner.deserialize_ignored_any(Self).map(|_| Node::Unknown)
    }
}

struct Build<'s>(&'s Shape);

impl<'de> Visitor<'de> for Build<'_> {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E: Error>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }

    fn visit_bool<E: Error>(self, _value: bool) -> Result<Node, E> {
        Ok(Node::Flag)
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Node, E> {
        Ok(Node::Number(value))
    }

    #[expect(clippy::cast_precision_loss, reason = "JSON numbers are doubles")]
    fn visit_u64<E: Error>(self, value: u64) -> Result<Node, E> {
        Ok(Node::Number(value as f64))
    }

    #[expect(clippy::cast_precision_loss, reason = "JSON numbers are doubles")]
    fn visit_i64<E: Error>(self, value: i64) -> Result<Node, E> {
        Ok(Node::Number(value as f64))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Node, E> {
        Ok(Node::Text(value.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Node, A::Error> {
        let (item, kept) = match self.0 {
            Shape::List {
                item, max_items, ..
            } => (Some(&**item), *max_items),
            Shape::Number(_) | Shape::Text { .. } | Shape::Flag | Shape::Object(_) => (None, 0),
        };
        let mut items = Vec::new();
        let mut count = 0;
        loop {
            let seed = Seed(if count < kept { item } else { None });
            let Some(node) = access.next_element_seed(seed)? else {
                return Ok(Node::List(items, count));
            };
            if count < kept {
                items.push(node);
            }
            count += 1;
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Node, A::Error> {
        let mut fields = Vec::new();
        while let Some(name) = access.next_key::<String>()? {
            let known = self.0.fields().iter().find(|field| field.name == name);
            let node = access.next_value_seed(Seed(known.map(|field| &field.shape)))?;
            // a flood of unknown names is told by its first ones
            if known.is_some() || fields.len() < 2 * super::MOST_FAULTS {
                fields.push((name, node));
            }
        }
        Ok(Node::Object(fields))
    }
}
