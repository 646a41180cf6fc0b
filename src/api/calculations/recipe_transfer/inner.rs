//! A refusal by another calculation, told in the fields of this one.

use crate::api::problem::{Fault, Problem, ProblemCode};

/// The problem with each inner field named as the caller's; a fault of a field that is not in
/// the list stands at the recipe.
pub(super) fn blamed(problem: Problem, fields: &[(&str, &str)]) -> Problem {
    if problem.code() != ProblemCode::ValidationFailed {
        return problem;
    }
    let faults = problem.faults().iter().map(|fault| {
        let known = fields.iter().find(|(inner, _)| fault.pointer == *inner);
        Fault {
            pointer: known.map_or("/recipe", |(_, outer)| outer).to_owned(),
            ..fault.clone()
        }
    });
    Problem::invalid(faults.collect())
}
