//! `water-dosing`: salts that bring a water nearest to a target.

mod cautions;
mod doses;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::CautionCode;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::api::water::salts::SaltName;
use crate::api::water::{TargetMissed, WaterGiven, WaterMade};
use crate::maths::chemistry::salts::CONCENTRATE;
use crate::maths::quantity::{Concentration, Hardness};
use crate::maths::range::Range;

/// A water to start from, the water wanted, and the salts at hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterDosingRequest {
    /// The water to start from; pure water when left out.
    pub start_water: Option<WaterGiven>,
    /// The water wanted: only what it names is aimed at.
    pub target: WaterGiven,
    /// Most that the dosed water may hold; told apart from the target, and not aimed at.
    pub limits: Option<WaterGiven>,
    /// Salts that may be used.
    #[schema(min_items = 1, max_items = 8)]
    pub salts: Vec<SaltAtHand>,
    /// Water to be dosed.
    pub volume_l: f64,
    /// Concentrate of each salt that is put into `volume_l`.
    pub concentrate_dose_ml: Option<f64>,
    /// Concentrate of each salt to be made.
    pub concentrate_volume_ml: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// A salt as it is weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SaltAtHand {
    /// Name of the salt.
    pub salt: SaltName,
    /// Molecules of water of crystallisation by the label; 0 is anhydrous. Needed for a salt
    /// that is sold in several forms; `GET /v1/reference/salts` lists them.
    pub hydrate: Option<u32>,
}

/// Doses of the salts, and the water that they make.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WaterDosingResponse {
    /// Dose of each salt, in the order given; 0 where it does not help.
    pub doses: Vec<SaltDose>,
    /// What the salts bring.
    pub added: WaterMade,
    /// The dosed water; what is not known of the start water is left out.
    pub water: WaterMade,
    /// What of the target is missed; empty when all is met.
    pub missed: Vec<TargetMissed>,
    /// What lies above `limits`; left out without them.
    pub exceeded: Option<Vec<TargetMissed>>,
}

/// Dose of one salt.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SaltDose {
    /// Name of the salt.
    pub salt: SaltName,
    /// Molecules of water of crystallisation.
    pub hydrate: u32,
    /// Salt for `volume_l`.
    pub mass_g: f64,
    /// Salt per litre of water.
    pub dose_mg_per_l: f64,
    /// Salt per millilitre of concentrate; left out without `concentrate_dose_ml`.
    pub concentrate_g_per_ml: Option<f64>,
    /// Salt for `concentrate_volume_ml`.
    pub concentrate_mass_g: Option<f64>,
}

/// Volumes of brewing water.
const VOLUME: Range = Range::new("volume of water", 0.001, 100_000.0, "L");
/// Molecules of water in the hydrates that are sold.
const HYDRATE: Range = Range::new("water of crystallisation", 0.0, 12.0, "1");

/// The `water-dosing` calculation.
#[derive(Debug)]
pub struct WaterDosing;

impl Calculation for WaterDosing {
    const NAME: &'static str = "water-dosing";
    const SUMMARY: &'static str =
        "Doses of salts that bring a water as near to a target as they can";
    const DESCRIPTION: &'static str = "Finds the doses, none below zero, that bring the start water nearest to what the target \
        names, by least squares in meq/L, and lists what is missed: a salt can only raise, and it brings a second ion \
        beside the one wanted (sodium bicarbonate for an alkalinity of 40 mg/L brings 18 mg/L of sodium). Where several \
        sets of doses are equally near, one with few salts is answered. The hydrate is an input, since the same mass of \
        another form brings another amount; calcium chloride takes up water from the air. Food-grade salts only.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::ChlorideCorrosion,
        CautionCode::TargetMissed,
        CautionCode::FoodGradeSalts,
        CautionCode::LabelConcentrates,
        CautionCode::SideIons,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("calcium_mg_per_l", Concentration::DRINKING),
        Bound::new("magnesium_mg_per_l", Concentration::DRINKING),
        Bound::new("bicarbonate_mg_per_l", Concentration::DRINKING),
        Bound::new("sodium_mg_per_l", Concentration::DRINKING),
        Bound::new("chloride_mg_per_l", Concentration::DRINKING),
        Bound::new("sulfate_mg_per_l", Concentration::DRINKING),
        Bound::new("potassium_mg_per_l", Concentration::DRINKING),
        Bound::new("total_hardness", Hardness::READING),
        Bound::new("alkalinity", Hardness::READING),
        Bound::new("hydrate", HYDRATE),
        Bound::new("volume_l", VOLUME),
        Bound::new("concentrate_dose_ml", CONCENTRATE),
        Bound::new("concentrate_volume_ml", CONCENTRATE),
    ];
    const RULES: &'static [Rule] = &[Rule::Needs(
        "concentrate_volume_ml",
        &["concentrate_dose_ml"],
    )];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("water.total_hardness_mg_per_l_caco3", 0),
        Headline::new("water.alkalinity_mg_per_l_caco3", 0),
        Headline::new("water.sodium_mg_per_l", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "water-dosing",
            "lab-course-three-salts",
            "A litre of pure water to hardness and alkalinity, with workings"
        ),
        example!(
            "water-dosing",
            "summit-station-concentrates",
            "Soft spring water for a week, from concentrates, without sodium"
        ),
        example!(
            "water-dosing",
            "harbour-bar-out-of-reach",
            "Hard tap water, of which no salt lowers the alkalinity"
        ),
    ];

    type Request = WaterDosingRequest;
    type Response = WaterDosingResponse;

    fn answer(
        request: &WaterDosingRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<WaterDosingResponse>, Problem> {
        let dosed = doses::of(request)?;
        let workings = (request.workings == Some(true)).then(|| dosed.workings(request));
        let cautions = cautions::of(request, &dosed.response);
        let sources = ["ciaaw2021", "lawson1974", "massbalance"];
        Ok(Answer::of::<Self>(dosed.response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}
