//! The columns of a request or an answer, out of its published schema.

use crate::api::shape::{Field, Shape};

/// A column and what stands in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Path of the field, with dots.
    pub name: String,
    /// Whether its cells are numbers, or true and false, and need no quotes.
    pub is_plain: bool,
}

/// Columns, and where each field of the object goes.
#[derive(Debug)]
pub struct Columns {
    /// In the order of the schema.
    pub all: Vec<Column>,
    pub(super) root: Slot,
}

/// Where a value goes.
#[derive(Debug)]
pub(super) enum Slot {
    /// Nowhere: it has no column.
    Skip,
    /// Into this column.
    Cell(usize),
    /// Field by field.
    Fields(Vec<(String, Slot)>),
}

/// Columns that every answer has after its result.
pub const PROVENANCE: [&str; 4] = ["basis", "sources", "model_version", CAUTION_CODES];
/// Column of the codes of an answer's cautions.
pub const CAUTION_CODES: &str = "caution_codes";

impl Columns {
    /// The columns of a flat request; a list goes into one cell.
    #[must_use]
    pub fn of_request(shape: &Shape) -> Self {
        let mut all = Vec::new();
        let root = slot("", shape, true, &mut all);
        Self { all, root }
    }

    /// The columns of an answer: the scalars of its result, nested ones by dotted names, then
    /// [`PROVENANCE`].
    #[must_use]
    pub fn of_answer(result: &Shape) -> Self {
        let mut all = Vec::new();
        let root = slot("", result, false, &mut all);
        all.extend(PROVENANCE.map(|name| Column {
            name: name.to_owned(),
            is_plain: false,
        }));
        Self { all, root }
    }
}

fn slot(name: &str, shape: &Shape, has_lists: bool, all: &mut Vec<Column>) -> Slot {
    let mut column = |is_plain| {
        all.push(Column {
            name: name.to_owned(),
            is_plain,
        });
        Slot::Cell(all.len() - 1)
    };
    match shape {
        Shape::Number(_) | Shape::Flag => column(true),
        Shape::Text { .. } => column(false),
        Shape::List { item, .. } if has_lists => column(matches!(**item, Shape::Number(_))),
        Shape::List { .. } => Slot::Skip,
        Shape::Object(fields) => {
            let inside = fields.iter().map(|field| {
                let slot = slot(&path(name, field), &field.shape, has_lists, all);
                (field.name.clone(), slot)
            });
            Slot::Fields(inside.collect())
        }
    }
}

fn path(name: &str, field: &Field) -> String {
    if name.is_empty() {
        field.name.clone()
    } else {
        format!("{name}.{}", field.name)
    }
}
