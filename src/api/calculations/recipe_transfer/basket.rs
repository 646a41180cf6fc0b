//! The dose at the same bed depth, and whether the basket and the cup take it.

use super::inner::blamed;
use super::request::{BrewSetUp, RecipeToCarry};
use crate::api::brew_kind::BrewKind;
use crate::api::calculation::Call;
use crate::api::calculations::basket_capacity::BasketCapacity;
use crate::api::calculations::basket_capacity::BasketCapacityRequest;
use crate::api::calculations::basket_capacity::BasketCapacityResponse;
use crate::api::calculations::basket_capacity::BasketFit;
use crate::api::calculations::ratio::{Ratio, RatioRequest, RatioResponse};
use crate::api::compose::answer_of;
use crate::api::problem::Problem;
use crate::api::provenance::Answer;

/// The two baskets with the dose in each.
pub(super) struct Baskets {
    pub(super) from: Answer<BasketCapacityResponse>,
    pub(super) to: Answer<BasketCapacityResponse>,
    /// Dose at the same bed depth.
    pub(super) same_depth_dose_g: f64,
    /// Dose that is used.
    pub(super) dose_g: f64,
    /// How the dose at the same bed depth misses the new basket's range.
    pub(super) misfit: Option<BasketFit>,
}

impl Baskets {
    /// Whether the dose was held inside the new basket's range.
    pub(super) fn is_limited(&self) -> bool {
        self.dose_g.total_cmp(&self.same_depth_dose_g).is_ne()
    }
}

/// The baskets, when they are known.
pub(super) fn baskets(
    (from, to): (&BrewSetUp, &BrewSetUp),
    recipe: &RecipeToCarry,
    (call, workings): (&Call<'_>, Option<bool>),
) -> Result<Option<Baskets>, Problem> {
    let (Some(diameter_from_mm), Some(diameter_to_mm)) =
        (from.basket_diameter_mm, to.basket_diameter_mm)
    else {
        return Ok(None);
    };
    let asked = |diameter_mm, set_up: &BrewSetUp, dose_g: Option<f64>| {
        let request = BasketCapacityRequest {
            diameter_mm,
            rated_dose_g: set_up.rated_dose_g,
            dose_g,
            workings,
            ..BasketCapacityRequest::default()
        };
        answer_of::<BasketCapacity>(&request, call)
    };
    let old = asked(diameter_from_mm, from, Some(recipe.dose_g))
        .map_err(|problem| blamed(problem, &fields("from")))?;
    let empty = asked(diameter_to_mm, to, None).map_err(|p| blamed(p, &fields("to")))?;
    let same_depth_dose_g = recipe.dose_g * (empty.result.bed_area_mm2 / old.result.bed_area_mm2);
    let (smallest, largest) = (empty.result.dose_min_g, empty.result.dose_max_g);
    // a recipe that left its own basket's range keeps its bed depth all the same
    let dose_g = if old.result.fits == Some(true) {
        same_depth_dose_g.max(smallest).min(largest)
    } else {
        same_depth_dose_g
    };
    let new = asked(diameter_to_mm, to, Some(dose_g)).map_err(|p| blamed(p, &fields("to")))?;
    let misfit = if largest < same_depth_dose_g {
        Some(BasketFit::TooLarge)
    } else {
        (same_depth_dose_g < smallest).then_some(BasketFit::TooSmall)
    };
    Ok(Some(Baskets {
        from: old,
        to: new,
        same_depth_dose_g,
        dose_g,
        misfit,
    }))
}

fn fields(place: &str) -> [(&'static str, &'static str); 3] {
    let is_from = place == "from";
    let of = |from, to| if is_from { from } else { to };
    [
        (
            "/diameter_mm",
            of("/from/basket_diameter_mm", "/to/basket_diameter_mm"),
        ),
        (
            "/rated_dose_g",
            of("/from/rated_dose_g", "/to/rated_dose_g"),
        ),
        ("/dose_g", "/recipe/dose_g"),
    ]
}

/// Ratios of the recipe before and after, when it names its beverage.
pub(super) struct Ratios {
    pub(super) to: Answer<RatioResponse>,
    /// Beverage on the new set-up; bit for bit the recipe's own where the dose is.
    pub(super) beverage_mass_g: f64,
}

/// Brew ratio from which a recipe is taken as filter coffee; no espresso is that long (common
/// practice, no source). It decides only what the grounds usually retain.
const FILTER_FROM: f64 = 6.0;

const RATIO_FIELDS: [(&str, &str); 3] = [
    ("/dose_g", "/recipe/dose_g"),
    ("/beverage_mass_g", "/recipe/beverage_mass_g"),
    ("/brew_ratio", "/recipe/beverage_mass_g"),
];

/// The beverage at the same brew ratio.
pub(super) fn ratios(
    recipe: &RecipeToCarry,
    dose_g: f64,
    (call, workings): (&Call<'_>, Option<bool>),
) -> Result<Option<Ratios>, Problem> {
    let Some(beverage_mass_g) = recipe.beverage_mass_g else {
        return Ok(None);
    };
    let kind = if beverage_mass_g < FILTER_FROM * recipe.dose_g {
        BrewKind::Espresso
    } else {
        BrewKind::Filter
    };
    let asked = |request: RatioRequest| {
        let request = RatioRequest {
            brew_kind: Some(kind),
            workings,
            ..request
        };
        answer_of::<Ratio>(&request, call).map_err(|problem| blamed(problem, &RATIO_FIELDS))
    };
    let old = asked(RatioRequest {
        dose_g: Some(recipe.dose_g),
        beverage_mass_g: Some(beverage_mass_g),
        ..RatioRequest::default()
    })?;
    if dose_g.total_cmp(&recipe.dose_g).is_eq() {
        return Ok(Some(Ratios {
            to: old,
            beverage_mass_g,
        }));
    }
    let new = asked(RatioRequest {
        dose_g: Some(dose_g),
        brew_ratio: Some(old.result.brew_ratio),
        ..RatioRequest::default()
    })?;
    let beverage_mass_g = new.result.beverage_mass_g;
    Ok(Some(Ratios {
        to: new,
        beverage_mass_g,
    }))
}
