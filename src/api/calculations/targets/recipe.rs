//! From the targets to the masses.

use super::TargetsResponse;
use super::request::{CUP_ML, TargetsRequest};
use crate::api::brew_kind::BrewKind;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::extraction::beverage_density::beverage_density;
use crate::maths::extraction::targets::{Given, Portions, Targets, Way, brew_strength, portions};
use crate::maths::quantity::{Mass, MassFraction, Temperature};
use crate::maths::range::Range;
use crate::maths::ratio;

/// Temperature at which a volume counts when none is given, °C.
const USUAL_CELSIUS: f64 = 20.0;
const GRAMS_PER_ML_IN_KILOGRAMS_PER_M3: f64 = 1000.0;

/// Masses that meet the targets.
#[derive(Debug)]
pub(super) struct Recipe<'r> {
    pub(super) request: &'r TargetsRequest,
    pub(super) kind: BrewKind,
    pub(super) targets: Targets,
    pub(super) portions: Portions,
    pub(super) density_g_per_ml: f64,
    pub(super) temperature_c: f64,
}

impl<'r> Recipe<'r> {
    /// The masses that meet what is asked for.
    pub(super) fn of(request: &'r TargetsRequest) -> Result<Self, Problem> {
        let kind = request.brew_kind.unwrap_or_default();
        let targets = targets(request, kind)?;
        let temperature_c = request.beverage_temperature_c.unwrap_or(USUAL_CELSIUS);
        let temperature = Temperature::from_celsius(temperature_c).at("beverage_temperature_c")?;
        let density = beverage_density(targets.cup_strength, temperature)?;
        let density_g_per_ml =
            density.kilograms_per_cubic_metre() / GRAMS_PER_ML_IN_KILOGRAMS_PER_M3;
        let given = given(request, density_g_per_ml)?;
        let portions = portions(&targets, given).map_err(|error| refused(&error))?;
        let recipe = Self {
            request,
            kind,
            targets,
            portions,
            density_g_per_ml,
            temperature_c,
        };
        recipe.check_derived()?;
        Ok(recipe)
    }

    pub(super) fn is_diluted(&self) -> bool {
        self.portions.bypass_g > 0.0
    }

    pub(super) fn response(&self) -> TargetsResponse {
        let (r, portions) = (self.request, &self.portions);
        let tds_percent = self.targets.brew_strength.percent();
        let cup_tds_percent = r.target_tds_percent;
        TargetsResponse {
            dose_g: portions.dose_g,
            beverage_mass_g: portions.beverage_g,
            bypass_water_g: self.is_diluted().then_some(portions.bypass_g),
            final_beverage_mass_g: portions.cup_g,
            cup_ml: self.cup_ml(),
            water_mass_g: portions.water_g,
            // what was given comes back bit for bit
            brew_ratio: r.brew_ratio.unwrap_or(portions.brew_ratio),
            water_ratio: r.water_ratio.unwrap_or(portions.water_ratio),
            retained_ratio: self.targets.retained_ratio,
            brew_tds_percent: match r.brew_tds_percent {
                Some(given) => given,
                None if self.is_diluted() => tds_percent,
                None => cup_tds_percent,
            },
            dissolved_solids_g: self.targets.extraction_yield.fraction() * portions.dose_g,
            beverage_density_g_per_ml: self.density_g_per_ml,
        }
    }

    fn cup_ml(&self) -> f64 {
        let volume = self.portions.cup_g / self.density_g_per_ml;
        self.request.cup_ml.unwrap_or(volume)
    }

    /// Holds what was derived against the same bounds as what is given.
    fn check_derived(&self) -> Result<(), Problem> {
        let portions = &self.portions;
        let derived: [(&str, f64, Range); 7] = [
            ("dose_g", portions.dose_g, Mass::DOSE),
            ("beverage_mass_g", portions.beverage_g, Mass::LIQUID),
            ("final_beverage_mass_g", portions.cup_g, Mass::LIQUID),
            ("water_mass_g", portions.water_g, Mass::LIQUID),
            ("cup_ml", self.cup_ml(), CUP_ML),
            ("brew_ratio", portions.brew_ratio, ratio::BREW_RATIO),
            ("water_ratio", portions.water_ratio, ratio::WATER_RATIO),
        ];
        let faults: Vec<Fault> = derived
            .into_iter()
            .filter(|(_, value, range)| !range.contains(*value))
            .map(|(name, value, range)| {
                let (min, max, unit) = (range.min, range.max, range.unit);
                let of_unit = if unit == "1" { "" } else { unit };
                let detail =
                    format!("the targets need {value} {of_unit}, outside {min} to {max} {of_unit}");
                let detail = detail.replace(" ,", ",").trim_end().to_owned();
                Fault {
                    minimum: Some(min),
                    maximum: Some(max),
                    unit: Some(unit.to_owned()),
                    ..Fault::new(format!("/{name}"), FaultCode::OutOfRange, detail)
                }
            })
            .collect();
        if faults.is_empty() {
            Ok(())
        } else {
            Err(Problem::invalid(faults))
        }
    }
}

fn targets(request: &TargetsRequest, kind: BrewKind) -> Result<Targets, Problem> {
    let way = match kind {
        BrewKind::Espresso | BrewKind::Filter => Way::Percolation,
        BrewKind::Immersion => Way::Immersion,
    };
    let retained_ratio = request.retained_ratio.unwrap_or(kind.usually_retained());
    let cup_strength = MassFraction::from_percent(request.target_tds_percent)?;
    let extraction_yield = MassFraction::from_percent(request.target_extraction_yield_percent)?;
    let ratio = match (way, request.brew_ratio, request.water_ratio) {
        (Way::Percolation, Some(brew_ratio), _) => Some(("brew_ratio", brew_ratio)),
        (Way::Immersion, Some(brew_ratio), _) => Some(("brew_ratio", brew_ratio + retained_ratio)),
        (Way::Percolation, _, Some(water)) => Some(("water_ratio", water - retained_ratio)),
        (Way::Immersion, _, Some(water)) => Some(("water_ratio", water)),
        (_, None, None) => None,
    };
    let brew_strength = match (request.brew_tds_percent, ratio) {
        (Some(percent), _) => MassFraction::from_percent(percent)?,
        (None, Some((field, ratio))) => strength_at(way, extraction_yield, ratio, field)?,
        (None, None) => cup_strength,
    };
    Ok(Targets {
        way,
        cup_strength,
        extraction_yield,
        brew_strength,
        retained_ratio,
    })
}

/// Strength of a brew by its ratio, inside what a beverage can have.
fn strength_at(
    way: Way,
    extraction_yield: MassFraction,
    ratio: f64,
    field: &str,
) -> Result<MassFraction, Problem> {
    let strength = brew_strength(way, extraction_yield, ratio).at(field)?;
    MassFraction::STRENGTH_PERCENT
        .check(strength.percent())
        .at(field)?;
    Ok(strength)
}

fn given(request: &TargetsRequest, density_g_per_ml: f64) -> Result<Given, Problem> {
    let mass = |grams: f64, field: &str| Mass::from_grams(grams).at(field);
    match (
        request.dose_g,
        request.beverage_mass_g,
        request.final_beverage_mass_g,
        request.cup_ml,
    ) {
        (Some(dose), ..) => mass(dose, "dose_g").map(Given::Dose),
        (_, Some(beverage), ..) => mass(beverage, "beverage_mass_g").map(Given::Beverage),
        (_, _, Some(cup), _) => mass(cup, "final_beverage_mass_g").map(Given::Cup),
        (.., Some(volume)) => mass(volume * density_g_per_ml, "cup_ml").map(Given::Cup),
        // the rules demand one of the four
        (None, None, None, None) => Err(Problem::internal("nothing to begin with")),
    }
}

/// A yield that no coffee gives is the fault of the target.
fn refused(error: &MathsError) -> Problem {
    match error {
        MathsError::Inconsistent { .. } => Problem::invalid(vec![Fault::new(
            "/target_extraction_yield_percent",
            FaultCode::Inconsistent,
            error.to_string(),
        )]),
        MathsError::OutOfRange { .. }
        | MathsError::NoSolution { .. }
        | MathsError::NotConverged { .. }
        | MathsError::WorkLimit { .. }
        | MathsError::NonFinite { .. } => error.clone().into(),
    }
}
