//! How coffee is brewed: a word that several calculations share.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::maths::ratio;

/// How the coffee is brewed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BrewKind {
    /// Through a compacted bed under pressure.
    #[default]
    Espresso,
    /// Through a bed under gravity.
    Filter,
    /// Steeped, then separated.
    Immersion,
}

impl BrewKind {
    /// Liquid that the spent grounds usually keep, per gram of dose.
    #[must_use]
    pub const fn usually_retained(self) -> f64 {
        match self {
            Self::Espresso => ratio::RETAINED_ESPRESSO,
            Self::Filter | Self::Immersion => ratio::RETAINED_FILTER,
        }
    }
}
