//! `fractions`: strength and yield of a shot that was caught in slices.

mod caught;
mod request;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use self::caught::Shot;
use self::request::BOUNDS;
pub use self::request::{FractionsRequest, ShotSlice};
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};

/// The shot, slice by slice.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FractionsResponse {
    /// All slices together.
    pub beverage_mass_g: f64,
    /// Strength of all slices mixed.
    pub tds_percent: f64,
    /// Coffee dissolved in all slices.
    pub dissolved_solids_g: f64,
    /// Yield of the shot.
    pub extraction_yield_percent: f64,
    /// Beverage over dose.
    pub brew_ratio: f64,
    /// Coffee solids by percent on the sugar scale, as used; left out when no slice needed it.
    pub solids_per_brix: Option<f64>,
    /// The cup after each slice, in their order.
    pub slices: Vec<SliceResult>,
    /// Where each target is met, in the order of strength, yield, beverage; only when one was
    /// given.
    pub targets: Option<Vec<TargetMet>>,
}

/// A slice, and the cup once it has been added.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SliceResult {
    /// Mass of the slice.
    pub mass_g: f64,
    /// Strength of the slice.
    pub tds_percent: f64,
    /// Its part of the solids of the whole shot.
    pub share_percent: f64,
    /// All slices so far.
    pub beverage_mass_g: f64,
    /// Strength of all slices so far, mixed.
    pub cumulative_tds_percent: f64,
    /// Yield so far.
    pub extraction_yield_percent: f64,
}

/// Where a target is met for the first time.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TargetMet {
    /// The target.
    pub target: SliceTarget,
    /// Its value, as given.
    #[schema(extensions(("x-unit" = json!("% or g, as `target` says"))))]
    pub value: f64,
    /// Whether the slices reach it.
    pub met: bool,
    /// The slice in which it is met, counted from one; left out when it is not.
    pub slice: Option<u32>,
    /// Beverage in the cup then, with the slice taken as even.
    pub beverage_mass_g: Option<f64>,
}

/// What a shot can be stopped at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SliceTarget {
    /// Strength of the cup, `target_tds_percent`: it falls as the shot runs.
    TdsPercent,
    /// Yield, `target_extraction_yield_percent`.
    ExtractionYieldPercent,
    /// Beverage, `target_beverage_mass_g`.
    BeverageMassG,
}

/// The `fractions` calculation.
#[derive(Debug)]
pub struct Fractions;

impl Calculation for Fractions {
    const NAME: &'static str = "fractions";
    const SUMMARY: &'static str = "Strength and yield of a shot caught in slices";
    const DESCRIPTION: &'static str = "A shot caught in a row of cups, each weighed and read: strength and yield of what has come \
        out after each slice, and the slice in which a strength, a yield or a beverage is reached. A slice's strength is \
        `tds_percent`, or `brix_percent` times `solids_per_brix`. Within a slice the strength counts as even. A yield above \
        30 % is a caution, above 35 % `inconsistent`.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const CAUTIONS: &'static [CautionCode] =
        &[CautionCode::HighYield, CautionCode::FactorUncertain];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("extraction_yield_percent", 1),
        Headline::new("tds_percent", 2),
        Headline::new("beverage_mass_g", 1),
        Headline::new("brew_ratio", 2),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "fractions",
            "harbour-thirds",
            "A shot in three cups: where it falls to 10 %"
        ),
        example!(
            "fractions",
            "lab-ten-slices",
            "Lab course: ten slices read on the sugar scale, three targets, with workings"
        ),
    ];

    type Request = FractionsRequest;
    type Response = FractionsResponse;

    fn answer(
        request: &FractionsRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<FractionsResponse>, Problem> {
        let shot = Shot::of(request)?;
        let response = shot.response();
        let workings = (request.workings == Some(true)).then(|| working::steps(&shot, &response));
        let mut sources = vec!["massbalance", "yield-bound"];
        if shot.factor.is_some() {
            sources.push("coffee-solids-factor");
        }
        let cautions = cautions(&shot, &response);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn cautions(shot: &Shot<'_>, response: &FractionsResponse) -> Vec<Caution> {
    let extracted = response.extraction_yield_percent;
    let raised = [
        shot.is_unusual().then(|| {
            Caution::from(CautionCode::HighYield).with("extraction_yield_percent", extracted)
        }),
        shot.factor.map(|factor| {
            Caution::from(CautionCode::FactorUncertain).with("solids_per_brix", factor)
        }),
    ];
    raised.into_iter().flatten().collect()
}
