//! What a request may not ask of the trials.

use super::super::request::{ExtractionYieldRequest, UncertaintyMethod};
use super::super::shared_scale;
use super::super::uncertainty::YieldInput;
use crate::api::problem::{Fault, FaultCode};
use crate::maths::uncertainty::monte_carlo::gamma::Student;

/// A dose is divided by, so it must be this many standard uncertainties from zero.
const DOSE_FROM_ZERO: f64 = 8.0;
/// Fewest readings whose t distribution has a standard deviation.
const FEWEST_READINGS: usize = 4;

/// Everything that is wrong with the method, or with the inputs for it.
pub(in super::super) fn faults(request: &ExtractionYieldRequest) -> Vec<Fault> {
    let mut faults = Vec::new();
    if request.method != Some(UncertaintyMethod::MonteCarlo) {
        let given = [
            ("seed", request.seed.is_some()),
            ("trials", request.trials.is_some()),
        ];
        let given = given.into_iter().filter(|(_, is_given)| *is_given);
        faults.extend(given.map(|(field, _)| {
            let detail = format!("`{field}` is for `method` of `monte_carlo` only");
            Fault::new(format!("/{field}"), FaultCode::Contradictory, detail)
        }));
        return faults;
    }
    faults.extend(few_readings(request));
    faults.extend(shaped(request));
    faults.extend(dose(request));
    faults
}

fn few_readings(request: &ExtractionYieldRequest) -> Option<Fault> {
    let fewest = Student::DEGREES_OF_FREEDOM.min;
    if request.tds_repeatability_percent.is_some() {
        let field = "/tds_repeatability_degrees_of_freedom";
        let degrees = request.tds_repeatability_degrees_of_freedom?;
        let detail = format!("trials need {fewest} degrees of freedom at least to draw from");
        return (degrees < fewest).then(|| Fault::new(field, FaultCode::Inconsistent, detail));
    }
    let count = request.tds_readings_percent.as_ref()?.len();
    (1 < count && count < FEWEST_READINGS).then(|| {
        let detail = "the distribution behind two or three readings has no standard deviation: \
            for trials give four, or `tds_repeatability_percent` from earlier days";
        Fault::new("/tds_readings_percent", FaultCode::Inconsistent, detail)
    })
}

/// Correlations of inputs that are not normal.
fn shaped(request: &ExtractionYieldRequest) -> impl Iterator<Item = Fault> {
    let has_shape = |input: &YieldInput| match input {
        YieldInput::Dose => request.dose_half_width_g.is_some(),
        YieldInput::BeverageMass => request.beverage_mass_half_width_g.is_some(),
        YieldInput::WaterMass => request.water_mass_half_width_g.is_some(),
        YieldInput::BypassWater => request.bypass_water_half_width_g.is_some(),
        YieldInput::TdsRepeatability | YieldInput::TdsCalibration => false,
    };
    let all = shared_scale::coefficients(request);
    all.filter(move |(_, joined)| joined.iter().any(has_shape))
        .map(|(field, _)| {
            let detail = "a coefficient does not say how inputs with half-widths vary together: \
                for trials give their standard uncertainties";
            Fault::new(format!("/{field}"), FaultCode::Contradictory, detail)
        })
}

fn dose(request: &ExtractionYieldRequest) -> Option<Fault> {
    let spreads = [
        ("/dose_uncertainty_g", request.dose_uncertainty_g),
        ("/dose_half_width_g", request.dose_half_width_g),
    ];
    let too_wide = |(_, spread): &(&str, Option<f64>)| {
        spread.is_some_and(|spread| spread * DOSE_FROM_ZERO > request.dose_g)
    };
    let (pointer, _) = spreads.into_iter().find(too_wide)?;
    let detail = "trials divide by the dose, which must be eight times this at least";
    Some(Fault::new(pointer, FaultCode::Inconsistent, detail))
}
