//! `brewing-water`: what is in a water, and what it does to coffee and boilers.

mod analysis;
mod cautions;
mod indices;
mod profile;
mod response;
mod working;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

pub use self::profile::ProfileCheck;
pub use self::response::{BrewingWaterResponse, IndexMethod, SolidsFrom, StrengthFrom};
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::CautionCode;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::api::water::HardnessUnitName;
use crate::api::water::profiles::WaterProfileId;
use crate::maths::chemistry::conductivity::TDS_FACTOR;
use crate::maths::chemistry::equilibrium;
use crate::maths::chemistry::hardness::Titration;
use crate::maths::chemistry::scale::CYCLES;
use crate::maths::quantity::{Acidity, Concentration, Conductivity, Hardness};
use crate::maths::range::Range;

/// A water by its ions, by test-kit readings or by titration, and what it is used for.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BrewingWaterRequest {
    /// Calcium.
    pub calcium_mg_per_l: Option<f64>,
    /// Magnesium.
    pub magnesium_mg_per_l: Option<f64>,
    /// Bicarbonate.
    pub bicarbonate_mg_per_l: Option<f64>,
    /// Sodium.
    pub sodium_mg_per_l: Option<f64>,
    /// Chloride.
    pub chloride_mg_per_l: Option<f64>,
    /// Sulfate.
    pub sulfate_mg_per_l: Option<f64>,
    /// Potassium.
    pub potassium_mg_per_l: Option<f64>,
    /// Calcium and magnesium together by a test kit, in `hardness_unit`. Beside one of the two
    /// ions it gives the other.
    pub total_hardness: Option<f64>,
    /// Alkalinity by a test kit, in `hardness_unit`.
    pub alkalinity: Option<f64>,
    /// Unit of `total_hardness` and `alkalinity`.
    pub hardness_unit: Option<HardnessUnitName>,
    /// Sample that was titrated.
    pub sample_ml: Option<f64>,
    /// EDTA used to the end point: gives the total hardness.
    pub edta_ml: Option<f64>,
    /// Concentration of the EDTA.
    pub edta_mol_per_l: Option<f64>,
    /// Strong acid used to the end point near pH 4.5: gives the alkalinity.
    pub acid_ml: Option<f64>,
    /// Hydrogen ion that the acid gives: its concentration for hydrochloric acid, twice that
    /// for sulfuric acid.
    pub acid_mol_per_l: Option<f64>,
    /// pH as measured, at `water_temperature_c`.
    pub ph: Option<f64>,
    /// Conductivity at 25 °C.
    pub conductivity_us_per_cm: Option<f64>,
    /// Dissolved solids per conductivity of the meter in use. By default that of the 4-4-2
    /// convention, 0.60 to 0.71; drinking waters truly have about 0.53.
    pub tds_factor: Option<f64>,
    /// Free and combined chlorine.
    pub total_chlorine_mg_per_l: Option<f64>,
    /// Temperature of the water; 25 when left out.
    pub water_temperature_c: Option<f64>,
    /// Temperature of the water in the boiler.
    pub boiler_temperature_c: Option<f64>,
    /// Litres of feed that become one litre in the boiler as steam leaves; 1 when left out.
    pub boiler_cycles_of_concentration: Option<f64>,
    /// pH in the boiler, when it is known; `ph` when left out.
    pub boiler_ph: Option<f64>,
    /// Published profile to check against; `GET /v1/reference/water-profiles` lists them.
    pub profile: Option<WaterProfileId>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Water as it is fed or poured.
const WATER_TEMPERATURE: Range = Range::new("water temperature", 0.0, 100.0, "°C");
/// Temperature when none is given, °C: that at which pH meters are read; assumed.
const USUAL_TEMPERATURE: f64 = 25.0;
/// Chlorine in drinking water.
const CHLORINE: Range = Range::new("total chlorine", 0.0, 20.0, "mg/L");

/// The `brewing-water` calculation.
#[derive(Debug)]
pub struct BrewingWater;

impl Calculation for BrewingWater {
    const NAME: &'static str = "brewing-water";
    const SUMMARY: &'static str =
        "Hardness, alkalinity, scale and saturation of a water, against a published profile";
    const DESCRIPTION: &'static str = "Reads a water from its ions, from test-kit readings or from titrations, and answers \
        hardness and alkalinity in every unit, the ion balance, the carbonate hardness, dissolved solids with the factor \
        used, how it stands to a published profile, the index of saturation with calcite (Standard Methods 2330 B form \
        with the constants of Plummer and Busenberg, fitted 0 to 90 °C and flagged above), the four-factor index to 85 °C \
        as an indicator only, and the most scale that a litre of boiler water can drop. What is not known is left out, \
        never guessed. Scale, corrosion and level probes are warnings without a verdict: ask the maker of the machine, \
        and leave boilers to licensed service.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::PressureVessel,
        CautionCode::LevelProbeLowMineral,
        CautionCode::ChlorideCorrosion,
        CautionCode::Extrapolated,
        CautionCode::PhWhenHeated,
        CautionCode::CalciumFromHardness,
        CautionCode::IonBalanceIncomplete,
        CautionCode::IonBalanceOff,
        CautionCode::TdsConvention,
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
        Bound::new("sample_ml", Titration::SAMPLE),
        Bound::new("edta_ml", Titration::TITRANT),
        Bound::new("edta_mol_per_l", Titration::STRENGTH),
        Bound::new("acid_ml", Titration::TITRANT),
        Bound::new("acid_mol_per_l", Titration::STRENGTH),
        Bound::new("ph", Acidity::BREWING),
        Bound::new("conductivity_us_per_cm", Conductivity::RANGE),
        Bound::new("tds_factor", TDS_FACTOR),
        Bound::new("total_chlorine_mg_per_l", CHLORINE),
        Bound::new("water_temperature_c", WATER_TEMPERATURE),
        Bound::new("boiler_temperature_c", equilibrium::OFFERED),
        Bound::new("boiler_cycles_of_concentration", CYCLES),
        Bound::new("boiler_ph", Acidity::BREWING),
    ];
    const RULES: &'static [Rule] = &[
        Rule::AtMostOne(&["alkalinity", "bicarbonate_mg_per_l", "acid_ml"]),
        Rule::AtMostOne(&["total_hardness", "edta_ml"]),
        Rule::Needs("total_hardness", &["hardness_unit"]),
        Rule::Needs("alkalinity", &["hardness_unit"]),
        Rule::NeedsOneOf("hardness_unit", &["total_hardness", "alkalinity"]),
        Rule::Needs("edta_ml", &["sample_ml", "edta_mol_per_l"]),
        Rule::Needs("edta_mol_per_l", &["edta_ml"]),
        Rule::Needs("acid_ml", &["sample_ml", "acid_mol_per_l"]),
        Rule::Needs("acid_mol_per_l", &["acid_ml"]),
        Rule::NeedsOneOf("sample_ml", &["edta_ml", "acid_ml"]),
        Rule::Needs("tds_factor", &["conductivity_us_per_cm"]),
        Rule::Needs("boiler_ph", &["boiler_temperature_c"]),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("total_hardness.mg_per_l_caco3", 0),
        Headline::new("alkalinity.mg_per_l_caco3", 0),
        Headline::new("saturation_index", 1),
        Headline::new("scale_bound_mg_per_l", 0),
        Headline::new("water_tds_mg_per_l", 0),
        Headline::new("ion_balance_percent", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "brewing-water",
            "harbour-bar-tap",
            "Hard tap water in a steam boiler, by its ions, against a profile"
        ),
        example!(
            "brewing-water",
            "summit-station-spring",
            "Soft spring water, by a test kit in German degrees and a conductivity meter"
        ),
        example!(
            "brewing-water",
            "lab-course-titration",
            "Hardness and alkalinity by titration, with workings"
        ),
    ];

    type Request = BrewingWaterRequest;
    type Response = BrewingWaterResponse;

    fn answer(
        request: &BrewingWaterRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<BrewingWaterResponse>, Problem> {
        let analysis = analysis::of(request)?;
        let indices = indices::of(request, &analysis)?;
        let response = response::of(request, &analysis, &indices)?;
        let workings = (request.workings == Some(true))
            .then(|| working::steps(request, &analysis, &indices, &response));
        let cautions = cautions::of(request, &analysis, &response);
        let sources = sources(request, &response);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

/// Ids of everything that the answer rests on.
fn sources(request: &BrewingWaterRequest, response: &BrewingWaterResponse) -> Vec<&'static str> {
    let has_index =
        response.saturation_index.is_some() || response.boiler_saturation_index.is_some();
    let is_convention = response.tds_factor.is_some() && request.tds_factor.is_none();
    let used = [
        Some("ciaaw2021"),
        Some("apha2017"),
        Some("units"),
        has_index.then_some("plummer1982"),
        has_index.then_some("parkhurst2013"),
        response.four_factor_index.map(|_| "four-factor"),
        is_convention.then_some("tds442"),
        request
            .profile
            .map(|id| crate::api::water::profiles::of(id).source),
        request.chloride_mg_per_l.map(|_| "chloride-corrosion"),
    ];
    used.into_iter().flatten().collect()
}
