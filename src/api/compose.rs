//! One calculation inside another: the inner request is judged as a caller's would be.

use super::calculation::{Calculation, Call};
use super::decode;
use super::problem::Problem;
use super::provenance::Answer;
use super::{registry, weighing};

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
    call.go_on()?;
    let entry = registry::find(C::NAME)
        .ok_or_else(|| Problem::internal(format!("{} is not registered", C::NAME)))?;
    let body = serde_json::to_vec(request)
        .map_err(|error| Problem::internal(format!("{}: {error}", C::NAME)))?;
    let request = registry::affordable::<C>(decode::json::<C>(&body, entry.plan())?)?;
    weighing::permitted::<C>(&request, call)?;
    C::answer(&request, call)
}

#[cfg(test)]
mod tests {
    use super::answer_of;
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
    }
}
