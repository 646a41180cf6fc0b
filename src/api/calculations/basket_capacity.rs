//! `basket-capacity`: the doses that a basket holds, and the bed of a dose.

mod workings;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::MathsError;
use crate::maths::basket::capacity::{
    DoseFit, DoseRange, HEADSPACE, HEADSPACE_MM, RATED_DOSE, TAMPED_DENSITY_G_PER_ML,
    bed_in_basket_mm, doses_by_depth, doses_by_diameter, doses_by_rating, tamped_depth_mm,
};
use crate::maths::basket::geometry::{Basket, bed_area_mm2};
use crate::maths::quantity::{BulkDensity, Length, Mass};
use crate::maths::range::Range;

/// A basket, and perhaps the dose that is to go in.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BasketCapacityRequest {
    /// Inner diameter at the rim.
    pub diameter_mm: f64,
    /// Dose stamped on the basket, which then holds that dose give or take 1 g (common practice,
    /// no source).
    pub rated_dose_g: Option<f64>,
    /// Depth from rim to bottom.
    pub depth_mm: Option<f64>,
    /// Inner diameter at the bottom; as at the rim when left out.
    pub bottom_diameter_mm: Option<f64>,
    /// Room to leave above the tamped bed, 11 mm by default: two measured baskets leave 10.7 and
    /// 11.3 mm at their nominal dose.
    pub headspace_mm: Option<f64>,
    /// Density of the tamped bed, 0.55 g/mL by default: the median of measured beds.
    pub tamped_density_g_per_ml: Option<f64>,
    /// Dose that is to go in.
    pub dose_g: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Doses of the basket and its bed.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BasketCapacityResponse {
    /// Smallest dose: 18/22 of the largest, or 1 g below the rated dose (common practice).
    pub dose_min_g: f64,
    /// Largest dose: by the rated dose when given, otherwise by the depth when given, otherwise
    /// 22 g at 58 mm scaled by area and density (common practice).
    pub dose_max_g: f64,
    /// Volume up to the rim; only when a depth was given.
    pub volume_ml: Option<f64>,
    /// Area of a bed of the rim's diameter.
    pub bed_area_mm2: f64,
    /// Depth of the tamped, dry bed of `dose_g`, or of `dose_max_g` when no dose was given. A
    /// wetted bed swells and is another depth: never put this into a simulation of one.
    pub tamped_depth_mm: f64,
    /// Whether the dose is inside the range; only when a dose was given.
    pub fits: Option<bool>,
    /// On which side the dose misses the range; only when a dose was given.
    pub dose_fit: Option<BasketFit>,
    /// Room left above that bed, negative when it is heaped above the rim; only when a depth was
    /// given.
    pub headspace_left_mm: Option<f64>,
}

/// Where a dose lies against the range of a basket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BasketFit {
    /// Less than the basket is made for.
    TooSmall,
    /// Inside the range, ends included.
    Fits,
    /// More than the basket is made for.
    TooLarge,
}

/// Tamped beds of espresso that pass without remark: a single dose in a small basket to the
/// deepest of the trade; common practice, no source.
const USUAL_BED_DEPTH: Range = Range::new("tamped bed", 8.0, 18.0, "mm");

/// The `basket-capacity` calculation.
#[derive(Debug)]
pub struct BasketCapacity;

impl Calculation for BasketCapacity {
    const NAME: &'static str = "basket-capacity";
    const SUMMARY: &'static str = "Doses that a basket holds, and the bed of a dose";
    const DESCRIPTION: &'static str = "How much ground coffee an espresso basket is made for. A dose stamped on the \
        basket says most, then its depth; with the diameter alone the answer is the trade's 18 to 22 g at 58 mm scaled \
        by area, with the caution `diameter_alone`. `GET /v1/reference/baskets` lists the common diameters.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] =
        &[CautionCode::DiameterAlone, CautionCode::UnusualBedDepth];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("diameter_mm", Length::BASKET_DIAMETER),
        Bound::new("rated_dose_g", RATED_DOSE),
        Bound::new("depth_mm", Basket::DEPTH),
        Bound::new("bottom_diameter_mm", Length::BASKET_DIAMETER),
        Bound::new("headspace_mm", HEADSPACE),
        Bound::new("tamped_density_g_per_ml", BulkDensity::RANGE),
        Bound::new("dose_g", Mass::DOSE),
    ];
    const RULES: &'static [Rule] = &[
        Rule::Needs("bottom_diameter_mm", &["depth_mm"]),
        Rule::Needs("headspace_mm", &["depth_mm"]),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("dose_min_g", 1),
        Headline::new("dose_max_g", 1),
        Headline::new("tamped_depth_mm", 1),
        Headline::new("headspace_left_mm", 1),
        Headline::new("fits", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "basket-capacity",
            "harbour-58",
            "Only the diameter is known"
        ),
        example!(
            "basket-capacity",
            "station-rated-54",
            "A stamped dose, and one that is too large for it"
        ),
        example!(
            "basket-capacity",
            "lab-measured",
            "A basket measured with a depth gauge, with workings"
        ),
    ];

    type Request = BasketCapacityRequest;
    type Response = BasketCapacityResponse;

    fn answer(
        request: &BasketCapacityRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<BasketCapacityResponse>, Problem> {
        let filter = Filter::of(request)?;
        let doses = filter.doses(request)?;
        let dose = Mass::from_grams(request.dose_g.unwrap_or(doses.largest.grams()))?;
        let (tamped_depth_mm, headspace_left_mm) = filter.bed(dose)?;
        let fit = request.dose_g.map(|_| fit(doses.fit(dose)));
        let response = BasketCapacityResponse {
            dose_min_g: doses.smallest.grams(),
            dose_max_g: doses.largest.grams(),
            volume_ml: filter.basket.map(|basket| basket.volume_ml()),
            bed_area_mm2: bed_area_mm2(filter.diameter),
            tamped_depth_mm,
            fits: fit.map(|fit| fit == BasketFit::Fits),
            dose_fit: fit,
            headspace_left_mm,
        };
        let cautions = cautions(request, &response);
        let workings = (request.workings == Some(true)).then(|| workings::of(request, &response));
        Ok(
            Answer::of::<Self>(response, &["basket-practice", "quantitativecafe2023"])
                .with_cautions(cautions)
                .with_workings(workings),
        )
    }
}

/// The basket as far as it is known.
struct Filter {
    diameter: Length,
    density: BulkDensity,
    basket: Option<Basket>,
}

impl Filter {
    fn of(request: &BasketCapacityRequest) -> Result<Self, Problem> {
        let diameter = Length::from_millimetres(request.diameter_mm)?;
        let basket = match request.depth_mm {
            None => None,
            Some(depth_mm) => {
                let bottom_mm = request.bottom_diameter_mm.unwrap_or(request.diameter_mm);
                let bottom = Length::from_millimetres(bottom_mm)?;
                let depth = Length::from_millimetres(depth_mm)?;
                let basket = Basket::tapered(diameter, bottom, depth);
                Some(basket.map_err(|e| both(&e, "bottom_diameter_mm", "diameter_mm"))?)
            }
        };
        let density = request
            .tamped_density_g_per_ml
            .unwrap_or(TAMPED_DENSITY_G_PER_ML);
        Ok(Self {
            diameter,
            density: BulkDensity::from_grams_per_millilitre(density)?,
            basket,
        })
    }

    /// What is stamped on a basket says most, then its depth, then its diameter.
    fn doses(&self, request: &BasketCapacityRequest) -> Result<DoseRange, Problem> {
        match (request.rated_dose_g, &self.basket) {
            (Some(rated), _) => doses_by_rating(Mass::from_grams(rated)?).at("rated_dose_g"),
            (None, Some(basket)) => {
                let headspace_mm = request.headspace_mm.unwrap_or(HEADSPACE_MM);
                doses_by_depth(
                    basket,
                    Length::from_millimetres(headspace_mm)?,
                    self.density,
                )
                .map_err(|error| both(&error, "headspace_mm", "depth_mm"))
            }
            (None, None) => doses_by_diameter(self.diameter, self.density).at("diameter_mm"),
        }
    }

    /// Depth of a dose's bed, and the room left above it where the basket's depth is known.
    fn bed(&self, dose: Mass) -> Result<(f64, Option<f64>), MathsError> {
        match &self.basket {
            Some(basket) => {
                let (depth_mm, left_mm) = bed_in_basket_mm(basket, dose, self.density);
                Ok((depth_mm, Some(left_mm)))
            }
            None => Ok((tamped_depth_mm(self.diameter, dose, self.density)?, None)),
        }
    }
}

/// Two lengths that cannot both be true, or an error of another kind.
fn both(error: &MathsError, one: &str, other: &str) -> Problem {
    match error {
        MathsError::Inconsistent { .. } => {
            let fault = |field: &str| {
                Fault::new(
                    format!("/{field}"),
                    FaultCode::Inconsistent,
                    error.to_string(),
                )
            };
            Problem::invalid(vec![fault(one), fault(other)])
        }
        MathsError::OutOfRange { .. }
        | MathsError::NoSolution { .. }
        | MathsError::NotConverged { .. }
        | MathsError::WorkLimit { .. }
        | MathsError::NonFinite { .. } => error.clone().into(),
    }
}

const fn fit(fit: DoseFit) -> BasketFit {
    match fit {
        DoseFit::TooSmall => BasketFit::TooSmall,
        DoseFit::Fits => BasketFit::Fits,
        DoseFit::TooLarge => BasketFit::TooLarge,
    }
}

fn cautions(request: &BasketCapacityRequest, response: &BasketCapacityResponse) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if request.rated_dose_g.is_none() && request.depth_mm.is_none() {
        cautions.push(CautionCode::DiameterAlone.into());
    }
    if !USUAL_BED_DEPTH.contains(response.tamped_depth_mm) {
        cautions.push(
            Caution::from(CautionCode::UnusualBedDepth)
                .with("tamped_depth_mm", response.tamped_depth_mm)
                .with("usual_low", USUAL_BED_DEPTH.min)
                .with("usual_high", USUAL_BED_DEPTH.max),
        );
    }
    cautions
}
