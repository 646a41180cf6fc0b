//! `oven-drying`: solids and yield from weighings before and after an oven.

mod brew;
mod dishes;
mod request;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use self::brew::Brewed;
pub use self::brew::DriedYieldUncertainty;
use self::dishes::Dishes;
use self::request::{BOUNDS, RULES};
pub use self::request::{DriedSample, OvenDryingRequest};
use crate::api::bounds::Bound;
use crate::api::budget::{Budget, MeasuredUncertainty};
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::extraction::extracted::UNUSUAL_YIELD;

/// Solids of the sample, and the yield when a dose was given.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct OvenDryingResponse {
    /// What stayed of the sample: the mean of the dishes. Of a beverage these are its total
    /// solids, suspended ones too unless it was filtered; of spent grounds their dry part.
    pub solids_percent: f64,
    /// The solids of each dish; left out for a single one.
    #[schema(extensions(("x-unit" = json!("%"))))]
    pub dish_solids_percent: Option<Vec<f64>>,
    /// Uncertainty of the solids; left out when none was given and there are no replicates.
    pub uncertainty: Option<MeasuredUncertainty>,
    /// Yield of the dose as weighed; left out without a dose.
    pub extraction_yield_percent: Option<f64>,
    /// Solids of the liquid that the spent grounds held; only with `tds_percent`.
    pub held_solids_g: Option<f64>,
    /// Yield with the solids held by the spent grounds counted as extracted; only with
    /// `tds_percent`.
    pub corrected_extraction_yield_percent: Option<f64>,
    /// Uncertainty of the yield, before the solids of held liquid are added.
    pub extraction_yield_uncertainty: Option<DriedYieldUncertainty>,
}

/// The `oven-drying` calculation.
#[derive(Debug)]
pub struct OvenDrying;

impl Calculation for OvenDrying {
    const NAME: &'static str = "oven-drying";
    const SUMMARY: &'static str = "Solids and yield from weighings before and after an oven";
    const DESCRIPTION: &'static str = "Total solids of a beverage from a dish weighed empty, with the wet and with the dry sample, \
        once or as replicates; with a dose, the yield as `extraction-yield` has it. Or the yield from dried spent grounds: \
        what is missing of the dry dose. With immersion brews that yield comes out too low by the strength times the liquid \
        held, since the held liquid dries in the grounds; with `tds_percent` the answer has the corrected yield too. Dry to \
        constant mass at about 103 °C; no standard for the solids of a beverage was found. An oven and what comes out of it \
        burn: use gloves and tongs.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::LooksLikeAFraction,
        CautionCode::HighYield,
        CautionCode::PracticeWindow,
        CautionCode::UncertaintyIncomplete,
        CautionCode::RetainedSolids,
        CautionCode::MoistureUnknown,
        CautionCode::TotalSolids,
    ];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const RULES: &'static [Rule] = RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("solids_percent", 2),
        Headline::new("uncertainty.expanded_points", 2),
        Headline::new("extraction_yield_percent", 1),
        Headline::new("corrected_extraction_yield_percent", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "oven-drying",
            "lab-espresso",
            "Lab course: three dishes of one espresso, with workings"
        ),
        example!(
            "oven-drying",
            "lab-spent-grounds",
            "Lab course: the spent grounds of an immersion brew"
        ),
        example!("oven-drying", "harbour-dish", "One dish, solids alone"),
    ];

    type Request = OvenDryingRequest;
    type Response = OvenDryingResponse;

    fn answer(
        request: &OvenDryingRequest,
        call: &Call<'_>,
    ) -> Result<Answer<OvenDryingResponse>, Problem> {
        let dishes = Dishes::of(request)?;
        let budget = dishes.budget()?;
        let brewed = brew::of(&dishes, call)?;
        let workings = (request.workings == Some(true))
            .then(|| working::steps(&dishes, brewed.as_ref(), budget.as_ref()));
        let cautions = cautions(&dishes, brewed.as_ref(), budget.as_ref());
        let sources = sources(&dishes, brewed.as_ref(), budget.is_some());
        let several = dishes.each_percent.len() > 1;
        let response = OvenDryingResponse {
            solids_percent: dishes.solids_percent,
            extraction_yield_percent: brewed.as_ref().map(|brewed| brewed.yield_percent),
            held_solids_g: brewed.as_ref().and_then(|brewed| brewed.held_g),
            corrected_extraction_yield_percent: brewed
                .as_ref()
                .and_then(|brewed| brewed.corrected_percent),
            extraction_yield_uncertainty: brewed.and_then(|brewed| brewed.uncertainty),
            uncertainty: budget.map(|budget| budget.published),
            dish_solids_percent: several.then_some(dishes.each_percent),
        };
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn sources(dishes: &Dishes<'_>, brewed: Option<&Brewed>, is_uncertain: bool) -> Vec<&'static str> {
    let is_spent = dishes.are_spent_grounds();
    let used = [
        Some("oven-drying"),
        brewed.map(|_| "massbalance"),
        brewed.map(|_| "yield-bound"),
        (is_spent && brewed.is_some()).then_some("liang2021"),
        (is_uncertain || dishes.each_percent.len() > 1).then_some("jcgm2008"),
    ];
    used.into_iter().flatten().collect()
}

fn cautions(dishes: &Dishes<'_>, brewed: Option<&Brewed>, budget: Option<&Budget>) -> Vec<Caution> {
    let r = dishes.request;
    let is_spent = dishes.are_spent_grounds();
    let has_yield = is_spent && brewed.is_some();
    let found = brewed.map(|brewed| brewed.corrected_percent.unwrap_or(brewed.yield_percent));
    let high = found.filter(|percent| *percent > UNUSUAL_YIELD * 100.0 * (1.0 + 1e-12));
    let raised = [
        high.map(|percent| {
            Caution::from(CautionCode::HighYield).with("extraction_yield_percent", percent)
        }),
        (has_yield && r.tds_percent.is_none()).then(|| CautionCode::RetainedSolids.into()),
        (has_yield && r.coffee_moisture_percent.is_none())
            .then(|| CautionCode::MoistureUnknown.into()),
        (!is_spent && r.sample_filtered != Some(true)).then(|| CautionCode::TotalSolids.into()),
        budget
            .is_some_and(|budget| !budget.published.not_included.is_empty())
            .then(|| CautionCode::UncertaintyIncomplete.into()),
    ];
    raised.into_iter().flatten().collect()
}
