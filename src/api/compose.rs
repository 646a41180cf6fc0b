//! One calculation inside another: the inner request is judged as a caller's would be.

use super::calculation::{Calculation, Call};
use super::decode;
use super::problem::{Fault, Problem};
use super::provenance::Answer;
use super::{answering, registry, weighing};

/// The answer of another calculation to a request that this one has built.
///
/// Bounds, rules and budget of the other calculation hold as over HTTP, so that nothing reaches
/// its maths that a caller could not have sent. A field that is `None` counts as not given.
///
/// # Errors
/// What a caller would get, with pointers into the inner request: the outer calculation says
/// in its own words, or in its list of shortfalls, what that means for its caller.
pub fn answer_of<C: Calculation>(
    request: &C::Request,
    call: &Call<'_>,
) -> Result<Answer<C::Response>, Problem> {
    let body = serde_json::to_vec(request)
        .map_err(|error| Problem::internal(format!("{}: {error}", C::NAME)))?;
    answer_to::<C>(&body, call)
}

/// The answer of another calculation to a request that stands as JSON inside this one's.
///
/// # Errors
/// As [`answer_of`], and 400 for text that is not JSON.
pub fn answer_to<C: Calculation>(
    body: &[u8],
    call: &Call<'_>,
) -> Result<Answer<C::Response>, Problem> {
    call.go_on()?;
    let entry = registry::find(C::NAME)
        .ok_or_else(|| Problem::internal(format!("{} is not registered", C::NAME)))?;
    let request = answering::affordable::<C>(decode::json::<C>(body, entry.plan())?)?;
    weighing::permitted::<C>(&request, call)?;
    C::answer(&request, call)
}

/// A problem of an inner request with its faults at the fields of the outer one: pairs of an
/// inner name and an outer one. A fault at any other field keeps its pointer.
#[must_use]
pub fn at_outer_fields(problem: Problem, names: &[(&str, &str)]) -> Problem {
    if problem.faults().is_empty() {
        return problem;
    }
    let mut moved: Vec<Fault> = Vec::new();
    for fault in problem.faults() {
        let inner = fault.pointer.trim_start_matches('/');
        let outer = names.iter().find(|(name, _)| *name == inner);
        let fault = Fault {
            pointer: outer.map_or_else(|| fault.pointer.clone(), |(_, name)| format!("/{name}")),
            ..fault.clone()
        };
        if !moved
            .iter()
            .any(|other| other.pointer == fault.pointer && other.code == fault.code)
        {
            moved.push(fault);
        }
    }
    Problem::invalid(moved)
}

#[cfg(test)]
mod tests {
    use super::{answer_of, at_outer_fields};
    use crate::api::calculation::UNCANCELLED;
    use crate::api::calculations::ratio::Ratio;
    use crate::api::decode;
    use crate::api::problem::FaultCode;
    use crate::api::registry;

    fn asked(body: &str) -> <Ratio as crate::api::calculation::Calculation>::Request {
        let entry = registry::find("ratio").expect("registered");
        decode::json::<Ratio>(body.as_bytes(), entry.plan()).expect("a request")
    }

    #[test]
    fn an_inner_request_is_answered_as_over_http() {
        let request = asked(r#"{"dose_g":18,"brew_ratio":2}"#);
        let answer = answer_of::<Ratio>(&request, &UNCANCELLED).expect("an answer");
        assert_eq!(answer.result.brew_ratio_text, "1:2");
    }

    #[test]
    fn an_inner_request_out_of_bounds_is_refused_with_its_own_pointer() {
        let mut request = asked(r#"{"dose_g":18,"brew_ratio":2}"#);
        request.dose_g = Some(-1.0);
        let problem = answer_of::<Ratio>(&request, &UNCANCELLED).expect_err("refused");
        let faults: Vec<_> = problem
            .faults()
            .iter()
            .map(|f| (f.pointer.as_str(), f.code))
            .collect();
        assert_eq!(faults, [("/dose_g", FaultCode::OutOfRange)]);
        let outer = at_outer_fields(problem, &[("dose_g", "basket_dose_g")]);
        assert_eq!(outer.faults()[0].pointer, "/basket_dose_g");
    }
}
