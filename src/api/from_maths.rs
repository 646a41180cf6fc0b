//! From an error of the maths to a problem document; every variant is listed.

use super::problem::{Fault, FaultCode, Problem, ProblemCode};
use crate::maths::MathsError;

impl From<MathsError> for Problem {
    fn from(error: MathsError) -> Self {
        at_pointer(&error, "")
    }
}

/// Names the request field that an error of the maths is about.
pub trait AtField<T> {
    /// The value, or the problem with the field's pointer.
    ///
    /// # Errors
    /// The maths' error as a [`Problem`].
    fn at(self, field: &str) -> Result<T, Problem>;
}

impl<T> AtField<T> for Result<T, MathsError> {
    fn at(self, field: &str) -> Result<T, Problem> {
        self.map_err(|error| at_pointer(&error, &format!("/{field}")))
    }
}

fn at_pointer(error: &MathsError, pointer: &str) -> Problem {
    let detail = error.to_string();
    match error {
        MathsError::OutOfRange { min, max, unit, .. } => Problem::invalid(vec![Fault {
            minimum: Some(*min),
            maximum: Some(*max),
            unit: Some((*unit).to_owned()),
            ..Fault::new(pointer, FaultCode::OutOfRange, detail)
        }]),
        MathsError::Inconsistent { .. } => {
            Problem::invalid(vec![Fault::new(pointer, FaultCode::Inconsistent, detail)])
        }
        MathsError::NoSolution { .. } => Problem::new(ProblemCode::NoSolution, detail),
        MathsError::WorkLimit { .. } => Problem::new(ProblemCode::WorkTooLarge, detail),
        // a request cannot bring a non-finite number this far, so both are our fault
        MathsError::NotConverged { .. } => Problem::internal(detail),
        MathsError::NonFinite { .. } => Problem::non_finite(detail),
    }
}
