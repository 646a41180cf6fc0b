//! From a request to a brew: what its way of brewing needs, and the yield.

use super::monte_carlo;
use super::request::ExtractionYieldRequest;
use crate::api::brew_kind::BrewKind;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::extraction::extracted::Extracted;
use crate::maths::extraction::immersion::{
    immersion, immersion_with_bypass, immersion_with_bypass_in_cup,
};
use crate::maths::extraction::percolation::{percolation, percolation_with_bypass};
use crate::maths::quantity::{Mass, MassFraction};

/// The beverage as it was weighed, g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Weighed {
    /// Before bypass water was added.
    Before(f64),
    /// After.
    After(f64),
}

impl Weighed {
    pub(super) const fn field(self) -> &'static str {
        match self {
            Self::Before(_) => "beverage_mass_g",
            Self::After(_) => "final_beverage_mass_g",
        }
    }
}

/// A brew whose yield is known.
#[derive(Debug)]
pub(super) struct Brew<'r> {
    pub(super) request: &'r ExtractionYieldRequest,
    pub(super) kind: BrewKind,
    pub(super) weighed: Option<Weighed>,
    /// Zero when none was given.
    pub(super) bypass_g: f64,
    pub(super) tds_percent: f64,
    pub(super) extracted: Extracted,
}

impl<'r> Brew<'r> {
    /// The yield of a brew that has what its way of brewing needs.
    pub(super) fn of(
        request: &'r ExtractionYieldRequest,
        tds_percent: f64,
    ) -> Result<Self, Problem> {
        let kind = request.brew_kind.unwrap_or_default();
        let weighed = match (request.beverage_mass_g, request.final_beverage_mass_g) {
            (Some(mass), _) => Some(Weighed::Before(mass)),
            (None, Some(mass)) => Some(Weighed::After(mass)),
            (None, None) => None,
        };
        let faults = faults(request, kind, weighed);
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let extracted = extracted(request, weighed, tds_percent)
            .map_err(|error| refused(&error, request, weighed))?;
        let brew = Self {
            request,
            kind,
            weighed,
            bypass_g: request.bypass_water_g.unwrap_or(0.0),
            tds_percent,
            extracted,
        };
        brew.check_water()?;
        Ok(brew)
    }

    pub(super) fn is_immersion(&self) -> bool {
        self.kind == BrewKind::Immersion
    }

    pub(super) const fn yield_percent(&self) -> f64 {
        self.extracted.extraction_yield.percent()
    }

    /// Beverage as brewed, before bypass water, g.
    pub(super) const fn brewed_g(&self) -> Option<f64> {
        match self.weighed {
            Some(Weighed::Before(mass)) => Some(mass),
            Some(Weighed::After(mass)) => Some(mass - self.bypass_g),
            None => None,
        }
    }

    /// All that is in the cup, g.
    pub(super) const fn cup_g(&self) -> Option<f64> {
        match self.weighed {
            Some(Weighed::Before(mass)) => Some(mass + self.bypass_g),
            Some(Weighed::After(mass)) => Some(mass),
            None => None,
        }
    }

    /// Nothing comes through a bed but water and what it dissolved. (Immersion is checked with
    /// its strength, in the maths.)
    fn check_water(&self) -> Result<(), Problem> {
        let (Some(water_g), Some(brewed_g), Some(weighed)) =
            (self.request.water_mass_g, self.brewed_g(), self.weighed)
        else {
            return Ok(());
        };
        let most_g = (water_g + self.extracted.solids.grams()) * (1.0 + 1e-12);
        if brewed_g <= most_g {
            return Ok(());
        }
        let detail = format!(
            "{brewed_g} g of beverage is more than {water_g} g of water and what it dissolved"
        );
        let fault = |field: &str| inconsistent(field, &detail);
        Err(Problem::invalid(vec![
            fault(weighed.field()),
            fault("water_mass_g"),
        ]))
    }
}

/// The field that gave the strength.
pub(super) const fn tds_field(request: &ExtractionYieldRequest) -> &'static str {
    if request.tds_percent.is_some() {
        "tds_percent"
    } else {
        "tds_readings_percent"
    }
}

fn inconsistent(field: &str, detail: &str) -> Fault {
    Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail)
}

/// What is missing or contradictory for the way of brewing.
fn faults(
    request: &ExtractionYieldRequest,
    kind: BrewKind,
    weighed: Option<Weighed>,
) -> Vec<Fault> {
    let mut faults = monte_carlo::faults(request);
    let bypass_g = request.bypass_water_g.unwrap_or(0.0);
    let is_immersion = kind == BrewKind::Immersion;
    if is_immersion && request.water_mass_g.is_none() {
        let detail = "immersion needs the brew water: cup and grounds share its solids";
        faults.push(Fault::new("/water_mass_g", FaultCode::Required, detail));
    }
    let has_spread = request
        .beverage_mass_uncertainty_g
        .or(request.beverage_mass_half_width_g)
        .is_some();
    let needed = match weighed {
        Some(_) => None,
        None if !is_immersion => {
            Some("espresso and filter need what is in the cup: this, or `final_beverage_mass_g`")
        }
        None if bypass_g > 0.0 => Some(
            "immersion with bypass water needs what was poured: this, or `final_beverage_mass_g`",
        ),
        None if has_spread => Some(
            "an uncertainty of the beverage mass needs the mass: this, or `final_beverage_mass_g`",
        ),
        None => None,
    };
    if let Some(detail) = needed {
        faults.push(Fault::new("/beverage_mass_g", FaultCode::Required, detail));
    }
    if let Some(Weighed::After(final_g)) = weighed
        && final_g - bypass_g < Mass::LIQUID.min
    {
        let detail =
            format!("a cup of {final_g} g cannot hold {bypass_g} g of bypass water and a brew");
        faults.push(inconsistent("final_beverage_mass_g", &detail));
        faults.push(inconsistent("bypass_water_g", &detail));
    }
    faults
}

fn extracted(
    request: &ExtractionYieldRequest,
    weighed: Option<Weighed>,
    tds_percent: f64,
) -> Result<Extracted, MathsError> {
    let dose = Mass::from_grams(request.dose_g)?;
    let strength = MassFraction::from_percent(tds_percent)?;
    let bypass = Mass::from_grams(request.bypass_water_g.unwrap_or(0.0))?;
    let is_immersion = request.brew_kind == Some(BrewKind::Immersion);
    let water = Mass::from_grams(request.water_mass_g.filter(|_| is_immersion).unwrap_or(0.0))?;
    match (is_immersion, weighed) {
        (false, Some(Weighed::Before(mass))) => {
            percolation_with_bypass(dose, Mass::from_grams(mass)?, bypass, strength)
        }
        (false, Some(Weighed::After(mass))) => percolation(dose, Mass::from_grams(mass)?, strength),
        (true, Some(Weighed::Before(mass))) => {
            immersion_with_bypass(dose, water, Mass::from_grams(mass)?, bypass, strength)
        }
        (true, Some(Weighed::After(mass))) => {
            immersion_with_bypass_in_cup(dose, water, Mass::from_grams(mass)?, bypass, strength)
        }
        (_, None) => immersion(dose, water, strength),
    }
}

/// An impossible yield or strength, told of every field that may be the wrong one.
fn refused(
    error: &MathsError,
    request: &ExtractionYieldRequest,
    weighed: Option<Weighed>,
) -> Problem {
    let detail = error.to_string();
    match error {
        MathsError::Inconsistent { .. } | MathsError::OutOfRange { .. } => {
            let is_immersion = request.brew_kind == Some(BrewKind::Immersion);
            let fields = [
                Some("dose_g"),
                weighed.map(Weighed::field),
                request
                    .water_mass_g
                    .filter(|_| is_immersion)
                    .map(|_| "water_mass_g"),
                request.bypass_water_g.map(|_| "bypass_water_g"),
                Some(tds_field(request)),
            ];
            let faults = fields.iter().flatten();
            Problem::invalid(faults.map(|field| inconsistent(field, &detail)).collect())
        }
        MathsError::NoSolution { .. }
        | MathsError::NotConverged { .. }
        | MathsError::WorkLimit { .. }
        | MathsError::NonFinite { .. } => error.clone().into(),
    }
}
