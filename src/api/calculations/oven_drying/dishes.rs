//! From weighings of dishes to the solids of the sample.

use super::request::{DriedSample, OvenDryingRequest};
use crate::api::budget::{Budget, MeasuredInput, Term};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::extraction::drying::{DriedSolids, dried_solids};
use crate::maths::quantity::Mass;
use crate::maths::uncertainty::type_a::{TypeA, type_a};

/// The dishes, dried.
#[derive(Debug)]
pub(super) struct Dishes<'r> {
    pub(super) request: &'r OvenDryingRequest,
    pub(super) tare: &'r [f64],
    pub(super) wet: &'r [f64],
    /// As weighed, before the change of the control dish is taken off.
    pub(super) dry: &'r [f64],
    pub(super) drift_g: f64,
    pub(super) each_percent: Vec<f64>,
    pub(super) solids_percent: f64,
    /// Of the mean, per gram of each weighing, fractions.
    pub(super) by: DriedSolids,
}

impl<'r> Dishes<'r> {
    /// The solids of every dish and their mean.
    pub(super) fn of(request: &'r OvenDryingRequest) -> Result<Self, Problem> {
        let (tare, wet, dry) = (
            masses(&request.tare_mass_g, &request.tare_masses_g),
            masses(&request.wet_mass_g, &request.wet_masses_g),
            masses(&request.dry_mass_g, &request.dry_masses_g),
        );
        same_count(request, (tare, wet, dry))?;
        let drift_g = request.control_dish_change_g.unwrap_or(0.0);
        let (mut faults, mut found) = (Vec::new(), Vec::with_capacity(tare.len()));
        for (place, ((tare, wet), dry)) in tare.iter().zip(wet).zip(dry).enumerate() {
            match dish(*tare, *wet, dry - drift_g) {
                Ok(solids) => found.push(solids),
                Err(error) => faults.push(fault(request, place, &error, wet <= tare)),
            }
        }
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let each_percent: Vec<f64> = found.iter().map(|dish| dish.solids.percent()).collect();
        let by = mean_of(&found).ok_or_else(|| Problem::internal("no dish"))?;
        let solids_percent = match each_percent.as_slice() {
            [only] => *only,
            several => type_a(several)?.mean,
        };
        Ok(Self {
            request,
            tare,
            wet,
            dry,
            drift_g,
            each_percent,
            solids_percent,
            by,
        })
    }

    pub(super) fn are_spent_grounds(&self) -> bool {
        self.request.sample == Some(DriedSample::SpentGrounds)
    }

    pub(super) fn scatter(&self) -> Result<Option<TypeA>, MathsError> {
        match self.each_percent.as_slice() {
            [_] => Ok(None),
            several => type_a(several).map(Some),
        }
    }

    /// What is stated of each weighing of a dish.
    pub(super) const fn spread(&self) -> (Option<f64>, Option<f64>) {
        (
            self.request.mass_uncertainty_g,
            self.request.mass_half_width_g,
        )
    }

    /// Terms of the three weighings; the numbers are points per gram.
    pub(super) fn weighings(
        &self,
        (tare, wet, dry): (f64, f64, f64),
    ) -> Result<Vec<Term>, MathsError> {
        let stated = |input, by| Term::stated(input, ("g", by), self.spread());
        let terms = [
            stated(MeasuredInput::TareMass, tare)?,
            stated(MeasuredInput::WetMass, wet)?,
            stated(MeasuredInput::DryMass, dry)?,
        ];
        Ok(terms.into_iter().flatten().collect())
    }

    /// The uncertainty of the solids.
    pub(super) fn budget(&self) -> Result<Option<Budget>, MathsError> {
        let mut terms = Vec::new();
        terms.extend(self.scatter()?.map(|scatter| {
            let spread = (scatter.standard_uncertainty, "%");
            Term::scatter(spread, 1.0, scatter.degrees_of_freedom)
        }));
        let by = &self.by;
        terms.extend(self.weighings((100.0 * by.by_tare, 100.0 * by.by_wet, 100.0 * by.by_dry))?);
        Budget::of(terms, &WEIGHINGS, self.request.coverage_probability)
    }
}

const WEIGHINGS: [MeasuredInput; 3] = [
    MeasuredInput::TareMass,
    MeasuredInput::WetMass,
    MeasuredInput::DryMass,
];

fn masses<'r>(one: &'r Option<f64>, several: &'r Option<Vec<f64>>) -> &'r [f64] {
    match (one, several) {
        (Some(mass), _) => std::slice::from_ref(mass),
        (None, Some(masses)) => masses,
        (None, None) => &[],
    }
}

fn dish(tare: f64, wet: f64, dry: f64) -> Result<DriedSolids, MathsError> {
    dried_solids(
        Mass::from_grams(tare)?,
        Mass::from_grams(wet)?,
        Mass::from_grams(dry)?,
    )
}

/// Every dish is weighed three times.
fn same_count(
    request: &OvenDryingRequest,
    (tare, wet, dry): (&[f64], &[f64], &[f64]),
) -> Result<(), Problem> {
    let count = tare.len();
    let faults: Vec<_> = [("wet_masses_g", wet), ("dry_masses_g", dry)]
        .into_iter()
        .filter(|(_, masses)| masses.len() != count)
        .map(|(field, masses)| {
            let detail = format!("{} masses for {count} dishes", masses.len());
            Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail)
        })
        .collect();
    if faults.is_empty() || request.tare_masses_g.is_none() {
        return Ok(());
    }
    Err(Problem::invalid(faults))
}

/// What is wrong with a dish, at the weighing that is out of order.
fn fault(request: &OvenDryingRequest, place: usize, error: &MathsError, is_of_wet: bool) -> Fault {
    let pointer = match (request.tare_masses_g.is_some(), is_of_wet) {
        (true, true) => format!("/wet_masses_g/{place}"),
        (true, false) => format!("/dry_masses_g/{place}"),
        (false, true) => "/wet_mass_g".to_owned(),
        (false, false) => "/dry_mass_g".to_owned(),
    };
    Fault::new(pointer, FaultCode::Inconsistent, error.to_string())
}

/// The mean of the derivatives, with the solids of the first dish.
fn mean_of(dishes: &[DriedSolids]) -> Option<DriedSolids> {
    let first = dishes.first()?;
    let mut count = 0.0;
    let (mut tare, mut wet, mut dry) = (0.0, 0.0, 0.0);
    for dish in dishes {
        count += 1.0;
        tare += dish.by_tare;
        wet += dish.by_wet;
        dry += dish.by_dry;
    }
    Some(DriedSolids {
        solids: first.solids,
        by_tare: tare / count,
        by_wet: wet / count,
        by_dry: dry / count,
    })
}
