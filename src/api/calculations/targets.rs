//! `targets`: what to weigh out for a strength and a yield.

mod recipe;
mod request;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use self::recipe::Recipe;
pub use self::request::TargetsRequest;
use self::request::{BOUNDS, RULES};
use crate::api::bounds::Bound;
use crate::api::brew_kind::BrewKind;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::extraction::extracted::UNUSUAL_YIELD;

/// Masses with which a brew reaches the strength and the yield.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TargetsResponse {
    /// Dry coffee.
    pub dose_g: f64,
    /// Beverage before bypass water.
    pub beverage_mass_g: f64,
    /// Water to add to the cup after brewing; left out when the brew is as strong as the cup.
    pub bypass_water_g: Option<f64>,
    /// All that is in the cup.
    pub final_beverage_mass_g: f64,
    /// Its volume, without foam, at `beverage_temperature_c` (20 °C unless given).
    pub cup_ml: f64,
    /// Brew water, bypass water not counted.
    pub water_mass_g: f64,
    /// Beverage before bypass water over dose.
    pub brew_ratio: f64,
    /// Brew water over dose.
    pub water_ratio: f64,
    /// Brew water less beverage, over dose.
    pub retained_ratio: f64,
    /// Strength of the brew before bypass water.
    pub brew_tds_percent: f64,
    /// Coffee dissolved: in the cup for percolation, in cup and grounds for immersion.
    pub dissolved_solids_g: f64,
    /// Density of what is in the cup, at `beverage_temperature_c` (20 °C unless given).
    pub beverage_density_g_per_ml: f64,
}

/// Strength below which it is probably a fraction of one: espresso, and other brews, as
/// `extraction-yield` has them. Common practice, no source.
const FRACTION_BELOW: (f64, f64) = (0.5, 0.05);

/// The `targets` calculation.
#[derive(Debug)]
pub struct Targets;

impl Calculation for Targets {
    const NAME: &'static str = "targets";
    const SUMMARY: &'static str = "What to weigh out for a strength and a yield";
    const DESCRIPTION: &'static str = "The inverse of `extraction-yield`: from the strength and the yield wanted, and one of \
        dose, beverage or cup, to the masses. Percolation counts what is in the cup, immersion what is in cup and grounds. A \
        brew that is stronger than the cup (`brew_tds_percent`, `brew_ratio` or `water_ratio`) is thinned with \
        `bypass_water_g`. A cup may be given by its volume: its density follows from its strength and temperature. A yield \
        above 30 % is a caution, above 35 % `inconsistent`; a brew weaker than the cup has no solution.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::LooksLikeAFraction,
        CautionCode::HighYield,
        CautionCode::VolumeWithoutFoam,
    ];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const RULES: &'static [Rule] = RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("dose_g", 1),
        Headline::new("water_mass_g", 1),
        Headline::new("beverage_mass_g", 1),
        Headline::new("bypass_water_g", 1),
        Headline::new("final_beverage_mass_g", 1),
        Headline::new("brew_ratio", 2),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "targets",
            "harbour-double",
            "A double espresso of 9.5 % at 20 %"
        ),
        example!(
            "targets",
            "station-mug",
            "A mug of filter coffee by its volume, hot, brewed strong and thinned with bypass water"
        ),
        example!(
            "targets",
            "lab-immersion",
            "Lab course: an immersion brew for a beverage, with workings"
        ),
    ];

    type Request = TargetsRequest;
    type Response = TargetsResponse;

    fn answer(
        request: &TargetsRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<TargetsResponse>, Problem> {
        let recipe = Recipe::of(request)?;
        let response = recipe.response();
        let workings = (request.workings == Some(true)).then(|| working::steps(&recipe, &response));
        Ok(Answer::of::<Self>(response, &sources(&recipe))
            .with_cautions(cautions(&recipe))
            .with_workings(workings))
    }
}

fn sources(recipe: &Recipe<'_>) -> Vec<&'static str> {
    let used = [
        Some("massbalance"),
        Some("yield-bound"),
        (recipe.kind == BrewKind::Immersion).then_some("liang2021"),
        recipe
            .request
            .retained_ratio
            .is_none()
            .then_some("practice"),
        Some("beverage-density"),
        Some("iapws2012"),
    ];
    used.into_iter().flatten().collect()
}

fn cautions(recipe: &Recipe<'_>) -> Vec<Caution> {
    let request = recipe.request;
    let fraction_below = match recipe.kind {
        BrewKind::Espresso => FRACTION_BELOW.0,
        BrewKind::Filter | BrewKind::Immersion => FRACTION_BELOW.1,
    };
    let (tds, extracted) = (
        request.target_tds_percent,
        request.target_extraction_yield_percent,
    );
    let raised = [
        (tds < fraction_below).then(|| {
            Caution::from(CautionCode::LooksLikeAFraction).with("target_tds_percent", tds)
        }),
        (extracted > UNUSUAL_YIELD * 100.0).then(|| {
            Caution::from(CautionCode::HighYield).with("target_extraction_yield_percent", extracted)
        }),
        (recipe.kind == BrewKind::Espresso && request.cup_ml.is_some())
            .then(|| CautionCode::VolumeWithoutFoam.into()),
    ];
    raised.into_iter().flatten().collect()
}
