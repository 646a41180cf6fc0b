//! Exercises for a lab course: data out of a seed, questions in words, marks and diagnoses.
//!
//! Every number of an exercise is one of the calculation that it is about, asked through the
//! registry as a caller would ask it; nothing is stored, since the seed is the exercise.

#[cfg(test)]
mod answered;
pub mod decimal;
pub mod diagnosis;
pub mod drawn;
pub mod exercise;
pub mod generator;
pub mod marking;
mod place;
pub mod print;
mod question;
pub mod response;
mod spelling;
pub mod table;
pub mod tolerance;
pub mod topic;
pub mod topic_name;
pub mod topics;
mod worked;

use crate::api::caution::CautionCode;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::range::Range;

/// Version of the topics: raised when the same seed would make another exercise.
pub const TOPIC_VERSION: u16 = 1;

/// Hazards that an exercise can tell of, where it is tried out on a machine: those of its topic's
/// own answer.
pub const HAZARDS: &[CautionCode] = &[
    CautionCode::HotWater,
    CautionCode::Superheated,
    CautionCode::PressureVessel,
    CautionCode::Scald,
    CautionCode::Burn,
    CautionCode::ChildServing,
    CautionCode::ServedHot,
];

/// Seeds: what every JSON reader holds exactly.
pub const SEED: Range = Range::new("seed", 0.0, 9_007_199_254_740_991.0, "1");
/// Levels, from the shortest way to the longest.
pub const LEVEL: Range = Range::new("level", 1.0, 3.0, "1");
/// Versions that a request may name.
pub const VERSION: Range = Range::new("topic version", 1.0, 1000.0, "1");

/// Refuses a request that was made for other topics than those of this service.
///
/// # Errors
/// 422 `inconsistent` at `topic_version`.
pub fn same_version(asked: Option<u16>) -> Result<(), Problem> {
    if asked.is_none_or(|version| version == TOPIC_VERSION) {
        return Ok(());
    }
    let detail =
        format!("this service has version {TOPIC_VERSION}: the same seed may be another exercise");
    Err(Problem::invalid(vec![Fault::new(
        "/topic_version",
        FaultCode::Inconsistent,
        detail,
    )]))
}
