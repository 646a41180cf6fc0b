//! The range of every request field, declared once: it patches the document, drives the check
//! and fills the error text.

use crate::maths::range::Range;

/// The range of one field, and of the length of its list when it is one.
#[derive(Debug, Clone, Copy)]
pub struct Bound {
    /// Field name; in a nested object too.
    pub field: &'static str,
    /// Interval of the number, or of each number of the list.
    pub range: Range,
    /// Shortest and longest list.
    pub items: Option<(usize, usize)>,
}

impl Bound {
    /// The range of a number.
    #[must_use]
    pub const fn new(field: &'static str, range: Range) -> Self {
        Self {
            field,
            range,
            items: None,
        }
    }

    /// The range of each number of a list, and the lengths that the list may have.
    #[must_use]
    pub const fn list(
        field: &'static str,
        range: Range,
        min_items: usize,
        max_items: usize,
    ) -> Self {
        Self {
            field,
            range,
            items: Some((min_items, max_items)),
        }
    }
}
