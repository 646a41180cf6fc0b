//! Dialling in: what a grinder's dial and a few effective constants of the bed must be for the
//! shots pulled so far, and which smallest change brings the next one to its target.
//!
//! Unknown are not only constants of the bed but also which grind a setting of the dial is. All
//! have priors, so that one shot is enough to begin with. The readings of a shot share one puck,
//! whose permeability differs from shot to shot. The fitted constants are effective ones: under
//! other physics than the model's the predictions hold far better than the constants, which is why
//! none of them leaves this folder.
//!
//! Reading order: the dial, what is unknown, a shot by the fast model, the fit, predictions with
//! their intervals, the regression beside them, and the search for the next shot.

pub mod dial;
pub mod unknowns;

pub mod shot;

pub mod fit;

pub mod prediction;
pub mod regression;

pub mod next;
mod search;

pub use dial::{Dial, HigherIs};
pub use fit::Fit;
pub use next::{Aims, Change, Limits, Next};
pub use prediction::{Interval, Prediction};
pub use regression::Regression;
pub use shot::{PulledShot, Recipe};
