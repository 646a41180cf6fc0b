//! Who may see the worked solutions of exercises.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Whether the answer holds solutions, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Solutions {
    /// They are in the answer: the service was given no teacher's key, so everybody sees them.
    Open,
    /// They are in the answer, since the teacher's key was sent.
    WithKey,
    /// They are left out: `x-teacher-key` was not sent, or was not the teacher's key.
    Withheld,
}

impl Solutions {
    /// Whether the caller may see them.
    #[must_use]
    pub const fn are_shown(self) -> bool {
        match self {
            Self::Open | Self::WithKey => true,
            Self::Withheld => false,
        }
    }
}
