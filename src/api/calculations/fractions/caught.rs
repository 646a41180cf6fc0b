//! From the slices to the curve of strength and yield.

use super::request::{FractionsRequest, ShotSlice};
use super::{FractionsResponse, SliceResult, SliceTarget, TargetMet};
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::extraction::fractions::{Caught, Slice, StopAt, after_each, first_met};
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::refraction::coffee::SOLIDS_PER_BRIX;

/// The slices, and the cup after each.
#[derive(Debug)]
pub(super) struct Shot<'r> {
    pub(super) request: &'r FractionsRequest,
    /// Coffee solids by percent of sugar; only when a slice was read on the sugar scale.
    pub(super) factor: Option<f64>,
    pub(super) slices: Vec<Slice>,
    cups: Vec<Caught>,
    /// The cup after the last slice.
    last: Caught,
}

impl<'r> Shot<'r> {
    /// The curve of a shot whose slices have one reading each.
    pub(super) fn of(request: &'r FractionsRequest) -> Result<Self, Problem> {
        let faults: Vec<_> = request.slices.iter().enumerate().flat_map(faults).collect();
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let is_sugar = request
            .slices
            .iter()
            .any(|slice| slice.brix_percent.is_some());
        let used = request.solids_per_brix.unwrap_or(SOLIDS_PER_BRIX);
        let slices = request.slices.iter().enumerate();
        let slices = slices
            .map(|(place, slice)| slice_of(place, slice, used))
            .collect::<Result<Vec<_>, _>>()?;
        let dose = Mass::from_grams(request.dose_g).at("dose_g")?;
        let cups = after_each(dose, &slices).at("slices")?;
        let last = *cups.last().ok_or_else(|| Problem::internal("no slice"))?;
        let shot = Self {
            request,
            factor: is_sugar.then_some(used),
            slices,
            cups,
            last,
        };
        shot.check_water()?;
        Ok(shot)
    }

    pub(super) const fn is_unusual(&self) -> bool {
        self.last.extracted.is_unusual()
    }

    pub(super) fn response(&self) -> FractionsResponse {
        let solids_g = self.last.extracted.solids.grams();
        let targets = self.targets();
        FractionsResponse {
            beverage_mass_g: self.last.beverage_g,
            tds_percent: self.last.strength.percent(),
            dissolved_solids_g: solids_g,
            extraction_yield_percent: self.last.extracted.extraction_yield.percent(),
            brew_ratio: self.last.beverage_g / self.request.dose_g,
            solids_per_brix: self.factor,
            slices: self
                .slices
                .iter()
                .zip(&self.cups)
                .zip(&self.request.slices)
                .map(|((slice, cup), given)| SliceResult {
                    // what was given comes back bit for bit
                    tds_percent: given.tds_percent.unwrap_or(slice.strength.percent()),
                    ..result(slice, cup, solids_g)
                })
                .collect(),
            targets: (!targets.is_empty()).then_some(targets),
        }
    }

    fn targets(&self) -> Vec<TargetMet> {
        let r = self.request;
        let wanted = [
            r.target_tds_percent.map(|percent| {
                let at = StopAt::Strength(percent / 100.0);
                (SliceTarget::TdsPercent, percent, at)
            }),
            r.target_extraction_yield_percent.map(|percent| {
                let at = StopAt::Yield(percent / 100.0);
                (SliceTarget::ExtractionYieldPercent, percent, at)
            }),
            r.target_beverage_mass_g
                .map(|grams| (SliceTarget::BeverageMassG, grams, StopAt::Beverage(grams))),
        ];
        let wanted = wanted.into_iter().flatten();
        wanted
            .map(|(target, value, at)| {
                let met = first_met(&self.slices, &self.cups, at);
                TargetMet {
                    target,
                    value,
                    met: met.is_some(),
                    slice: met.and_then(|met| u32::try_from(met.slice + 1).ok()),
                    beverage_mass_g: met.map(|met| met.beverage_g),
                }
            })
            .collect()
    }

    /// Nothing comes through a bed but water and what it dissolved.
    fn check_water(&self) -> Result<(), Problem> {
        let Some(water_g) = self.request.water_mass_g else {
            return Ok(());
        };
        let (beverage_g, solids_g) = (self.last.beverage_g, self.last.extracted.solids.grams());
        if beverage_g <= (water_g + solids_g) * (1.0 + 1e-12) {
            return Ok(());
        }
        let detail = format!(
            "{beverage_g} g in all slices is more than {water_g} g of water and what it dissolved"
        );
        let fault =
            |field: &str| Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail.clone());
        Err(Problem::invalid(vec![
            fault("slices"),
            fault("water_mass_g"),
        ]))
    }
}

/// Each slice has exactly one reading.
fn faults((place, slice): (usize, &ShotSlice)) -> Vec<Fault> {
    let fault = |field: &str, code| {
        let detail = "give exactly one of `tds_percent` and `brix_percent`";
        Fault::new(format!("/slices/{place}/{field}"), code, detail)
    };
    match (slice.tds_percent, slice.brix_percent) {
        (None, None) => vec![fault("tds_percent", FaultCode::Required)],
        (Some(_), Some(_)) => vec![
            fault("tds_percent", FaultCode::Contradictory),
            fault("brix_percent", FaultCode::Contradictory),
        ],
        (Some(_), None) | (None, Some(_)) => Vec::new(),
    }
}

fn slice_of(place: usize, slice: &ShotSlice, factor: f64) -> Result<Slice, Problem> {
    let percent = match (slice.tds_percent, slice.brix_percent) {
        (Some(percent), _) => percent,
        (None, brix) => factor * brix.unwrap_or(0.0),
    };
    Ok(Slice {
        mass: Mass::from_grams(slice.mass_g).at(&format!("slices/{place}/mass_g"))?,
        strength: MassFraction::from_percent(percent)?,
    })
}

fn result(slice: &Slice, cup: &Caught, all_solids_g: f64) -> SliceResult {
    let own_g = slice.mass.grams() * slice.strength.fraction();
    SliceResult {
        mass_g: slice.mass.grams(),
        tds_percent: slice.strength.percent(),
        // water alone has no solids to share
        share_percent: if all_solids_g > 0.0 {
            100.0 * own_g / all_solids_g
        } else {
            0.0
        },
        beverage_mass_g: cup.beverage_g,
        cumulative_tds_percent: cup.strength.percent(),
        extraction_yield_percent: cup.extracted.extraction_yield.percent(),
    }
}
