//! Correlations between the masses: what they have in common when one scale weighs them.

use super::request::ExtractionYieldRequest;
use super::uncertainty::{Term, YieldInput};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::uncertainty::correlations::Correlations;

/// A coefficient that was given.
#[derive(Debug, Clone, Copy)]
struct Given {
    field: &'static str,
    one: YieldInput,
    other: YieldInput,
    coefficient: f64,
}

/// The correlations between the terms of a budget.
///
/// # Errors
/// `inconsistent` at every coefficient given, when they cannot all be true.
pub(super) fn of(
    request: &ExtractionYieldRequest,
    terms: &[Term],
) -> Result<Correlations, Problem> {
    let place = |input| terms.iter().position(|term| term.input == input);
    let given: Vec<_> = given(request).collect();
    let mut correlations = Correlations::none();
    for pair in &given {
        // the rules demand an uncertainty of both, so both have their term
        if let (Some(one), Some(other)) = (place(pair.one), place(pair.other)) {
            correlations = correlations.with(one, other, pair.coefficient)?;
        }
    }
    if !correlations.are_none() {
        let factor = correlations.factor(terms.len());
        factor.map_err(|error| contradictory(&given, &error))?;
    }
    Ok(correlations)
}

fn contradictory(given: &[Given], error: &MathsError) -> Problem {
    let fault = |pair: &Given| {
        let pointer = format!("/{}", pair.field);
        Fault::new(pointer, FaultCode::Inconsistent, error.to_string())
    };
    Problem::invalid(given.iter().map(fault).collect())
}

fn given(r: &ExtractionYieldRequest) -> impl Iterator<Item = Given> {
    use YieldInput as In;
    let (dose, beverage, water, bypass) =
        (In::Dose, In::BeverageMass, In::WaterMass, In::BypassWater);
    let all = [
        (
            "dose_beverage_mass_correlation",
            (dose, beverage),
            r.dose_beverage_mass_correlation,
        ),
        (
            "dose_water_mass_correlation",
            (dose, water),
            r.dose_water_mass_correlation,
        ),
        (
            "dose_bypass_water_correlation",
            (dose, bypass),
            r.dose_bypass_water_correlation,
        ),
        (
            "beverage_mass_water_mass_correlation",
            (beverage, water),
            r.beverage_mass_water_mass_correlation,
        ),
        (
            "beverage_mass_bypass_water_correlation",
            (beverage, bypass),
            r.beverage_mass_bypass_water_correlation,
        ),
        (
            "water_mass_bypass_water_correlation",
            (water, bypass),
            r.water_mass_bypass_water_correlation,
        ),
    ];
    all.into_iter().filter_map(|(field, (one, other), given)| {
        Some(Given {
            field,
            one,
            other,
            coefficient: given?,
        })
    })
}
