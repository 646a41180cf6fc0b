//! `water-blend`: two waters mixed, by a share or towards a target.

mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::api::water::{
    Known, TargetMissed, WaterGiven, WaterMade, WaterQuantity, aims, missed, needed,
};
use crate::maths::MathsError;
use crate::maths::chemistry::blend::{Aimed, FRACTION, mixed, mixed_ions, nearest_fraction};
use crate::maths::quantity::{Concentration, Hardness};
use crate::maths::range::Range;

/// Two waters, and the share of the first or the water wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterBlendRequest {
    /// The first water, such as the tap's.
    pub first_water: WaterGiven,
    /// The second water, such as that behind a softening or demineralising filter.
    pub second_water: WaterGiven,
    /// The water wanted: only what it names is aimed at.
    pub target: Option<WaterGiven>,
    /// Share of the first water, by volume, 0 to 1.
    pub first_fraction: Option<f64>,
    /// Mixture wanted.
    pub volume_l: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// The mixture.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WaterBlendResponse {
    /// Share of the first water, by volume.
    pub first_fraction: f64,
    /// Share of the second water, by volume.
    pub second_fraction: f64,
    /// First water for `volume_l`.
    pub first_volume_l: Option<f64>,
    /// Second water for `volume_l`.
    pub second_volume_l: Option<f64>,
    /// The mixture; what is not known of both waters is left out.
    pub water: WaterMade,
    /// What of the target is missed; empty when all is met. One share cannot meet two targets
    /// but by chance.
    pub missed: Option<Vec<TargetMissed>>,
}

/// Volumes of brewing water.
const VOLUME: Range = Range::new("volume of water", 0.001, 100_000.0, "L");

/// The `water-blend` calculation.
#[derive(Debug)]
pub struct WaterBlend;

impl Calculation for WaterBlend {
    const NAME: &'static str = "water-blend";
    const SUMMARY: &'static str =
        "Two waters mixed by a share, or as near to a target as they come";
    const DESCRIPTION: &'static str = "Mixes two waters in proportion, by a given share or by the share that brings the \
        mixture nearest to a target: exactly for one quantity that lies between the two waters, by least squares in meq/L \
        for several, since one share cannot meet two targets but by chance. What is missed is listed. Ions, hardness and \
        alkalinity mix in proportion; pH does not, and is not answered.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[CautionCode::TargetMissed];
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
        Bound::new("first_fraction", FRACTION),
        Bound::new("volume_l", VOLUME),
    ];
    const RULES: &'static [Rule] = &[Rule::ExactlyOne(&["target", "first_fraction"])];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("first_fraction", 3),
        Headline::new("first_volume_l", 2),
        Headline::new("second_volume_l", 2),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "water-blend",
            "harbour-bar-filter",
            "Hard tap water cut with demineralised water to an alkalinity, with workings"
        ),
        example!(
            "water-blend",
            "lab-course-two-targets",
            "Hardness and alkalinity at once, of which one share meets neither"
        ),
        example!(
            "water-blend",
            "summit-station-half",
            "Half spring water, half of the valley's"
        ),
    ];

    type Request = WaterBlendRequest;
    type Response = WaterBlendResponse;

    fn answer(
        request: &WaterBlendRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<WaterBlendResponse>, Problem> {
        let first = request.first_water.known("/first_water")?;
        let second = request.second_water.known("/second_water")?;
        let aimed = request
            .target
            .as_ref()
            .map(|target| aimed(target, &first, &second));
        let aimed = aimed.transpose()?;
        let fraction = match (&aimed, request.first_fraction) {
            (Some(aimed), _) => nearest_fraction(&in_equivalents(aimed))?,
            (None, Some(fraction)) => FRACTION.check(fraction).at("first_fraction")?,
            // the rules leave no such request
            (None, None) => FRACTION.check(f64::NAN)?,
        };
        let water = mixture(&first, &second, fraction)?;
        let missed = aimed.as_deref().map(|aimed| shortfall(aimed, fraction));
        let missed = missed.transpose()?;
        let volume = |share: f64| request.volume_l.map(|volume| share * volume);
        let response = WaterBlendResponse {
            first_fraction: fraction,
            second_fraction: 1.0 - fraction,
            first_volume_l: volume(fraction),
            second_volume_l: volume(1.0 - fraction),
            water: WaterMade::of(&water)?,
            missed,
        };
        let cautions = cautions(&response);
        let waters = quantities(aimed.as_deref(), &first, &second)?;
        let workings = (request.workings == Some(true))
            .then(|| working::steps(aimed.as_deref(), &waters, &response));
        Ok(Answer::of::<Self>(response, &["massbalance", "ciaaw2021"])
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

/// A quantity aimed at, in its own unit.
type QuantityAimed = (WaterQuantity, Aimed);

fn aimed(
    target: &WaterGiven,
    first: &Known,
    second: &Known,
) -> Result<Vec<QuantityAimed>, Problem> {
    let wanted = aims(target, "/target")?.into_iter();
    wanted
        .map(|(quantity, target)| {
            let aimed = Aimed {
                first: needed(quantity, first, "/first_water")?,
                second: needed(quantity, second, "/second_water")?,
                target,
            };
            Ok((quantity, aimed))
        })
        .collect()
}

/// What the derivation shows: the quantities aimed at, or all that both waters tell.
fn quantities(
    aimed: Option<&[QuantityAimed]>,
    first: &Known,
    second: &Known,
) -> Result<Vec<(WaterQuantity, f64, f64)>, MathsError> {
    if let Some(aimed) = aimed {
        let values = aimed
            .iter()
            .map(|(quantity, a)| (*quantity, a.first, a.second));
        return Ok(values.collect());
    }
    let mut told = Vec::new();
    for quantity in WaterQuantity::ALL {
        let values = quantity.value(first)?.zip(quantity.value(second)?);
        told.extend(values.map(|(first, second)| (quantity, first, second)));
    }
    Ok(told)
}

fn in_equivalents(aimed: &[QuantityAimed]) -> Vec<Aimed> {
    let of = aimed.iter();
    of.map(|(quantity, aimed)| {
        let per = quantity.per_equivalent();
        Aimed {
            first: aimed.first / per,
            second: aimed.second / per,
            target: aimed.target / per,
        }
    })
    .collect()
}

fn mixture(first: &Known, second: &Known, fraction: f64) -> Result<Known, MathsError> {
    let totals = first.total_hardness()?.zip(second.total_hardness()?);
    let hardness = totals.map(|(a, b)| {
        let (a, b) = (a.milligrams_per_litre(), b.milligrams_per_litre());
        Hardness::from_milligrams_per_litre(mixed(a, b, fraction)?)
    });
    Ok(Known {
        ions: mixed_ions(&first.ions, &second.ions, fraction)?,
        hardness_reading: hardness.transpose()?,
    })
}

fn shortfall(aimed: &[QuantityAimed], fraction: f64) -> Result<Vec<TargetMissed>, MathsError> {
    let mut all = Vec::new();
    for (quantity, aimed) in aimed {
        let reached = mixed(aimed.first, aimed.second, fraction)?;
        all.extend(missed(*quantity, aimed.target, reached));
    }
    Ok(all)
}

fn cautions(response: &WaterBlendResponse) -> Vec<Caution> {
    match &response.missed {
        Some(missed) if !missed.is_empty() => vec![CautionCode::TargetMissed.into()],
        Some(_) | None => Vec::new(),
    }
}
