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

/// The coefficients given, but for zeros, and what each one joins.
pub(super) fn coefficients(
    request: &ExtractionYieldRequest,
) -> impl Iterator<Item = (&'static str, [YieldInput; 2])> {
    let joining = given(request).filter(|pair| pair.coefficient != 0.0);
    joining.map(|pair| (pair.field, [pair.one, pair.other]))
}

fn contradictory(given: &[Given], error: &MathsError) -> Problem {
    let fault = |pair: &Given| {
        let pointer = format!("/{}", pair.field);
        Fault::new(pointer, FaultCode::Inconsistent, error.to_string())
    };
    Problem::invalid(given.iter().map(fault).collect())
}

/// Every coefficient there is, by the two inputs that it joins.
const PAIRS: [(&str, YieldInput, YieldInput); 6] = {
    use YieldInput::{BeverageMass, BypassWater, Dose, WaterMass};
    [
        ("dose_beverage_mass_correlation", Dose, BeverageMass),
        ("dose_water_mass_correlation", Dose, WaterMass),
        ("dose_bypass_water_correlation", Dose, BypassWater),
        (
            "beverage_mass_water_mass_correlation",
            BeverageMass,
            WaterMass,
        ),
        (
            "beverage_mass_bypass_water_correlation",
            BeverageMass,
            BypassWater,
        ),
        (
            "water_mass_bypass_water_correlation",
            WaterMass,
            BypassWater,
        ),
    ]
};

fn given(r: &ExtractionYieldRequest) -> impl Iterator<Item = Given> {
    let coefficients = [
        r.dose_beverage_mass_correlation,
        r.dose_water_mass_correlation,
        r.dose_bypass_water_correlation,
        r.beverage_mass_water_mass_correlation,
        r.beverage_mass_bypass_water_correlation,
        r.water_mass_bypass_water_correlation,
    ];
    let all = PAIRS.into_iter().zip(coefficients);
    all.filter_map(|((field, one, other), coefficient)| {
        Some(Given {
            field,
            one,
            other,
            coefficient: coefficient?,
        })
    })
}
