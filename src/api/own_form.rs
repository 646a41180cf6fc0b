//! A form of the whole answer that a calculation writes itself.

use serde_json::Value;

use super::reserved::Format;
use super::rows::dialect::Dialect;

/// A form, and how it is written.
#[derive(Debug, Clone, Copy)]
pub struct OwnForm {
    /// Its name in a query.
    pub format: Format,
    /// Its media type in `Accept`, without parameters.
    pub media_type: &'static str,
    /// Writes the answer.
    pub write: fn(&Value, Dialect) -> String,
}
