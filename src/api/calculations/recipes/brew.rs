//! The coffee of a recipe: a dose that the basket holds, its beverage, its time and its strength.

use super::order::Order;
use super::request::RecipesRequest;
use super::response::{NotMetCode, StrengthWindow};
use crate::api::brew_kind::BrewKind;
use crate::api::calculations::basket_capacity::{BasketCapacity, BasketCapacityRequest};
use crate::api::calculations::extraction_yield::{ExtractionYield, ExtractionYieldRequest};
use crate::api::calculations::ratio::{Ratio, RatioRequest, RatioResponse};
use crate::api::caution::CautionCode;
use crate::api::compose::at_outer_fields;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::extraction::chart::ControlChart;

/// Dose of an espresso without a basket, g; common practice, no source.
const USUAL_ESPRESSO_G: f64 = 18.0;
/// Dose of a serving of filter or steeped coffee, g; common practice, no source.
const USUAL_FILTER_G: f64 = 15.0;
/// Diameter of a basket of which only the rated dose is known, mm; its doses do not depend on
/// it, and nothing else is answered from it.
const ANY_DIAMETER_MM: f64 = 58.0;

/// Names of the fields of `basket-capacity` here.
const BASKET_FIELDS: &[(&str, &str)] = &[
    ("diameter_mm", "basket_diameter_mm"),
    ("rated_dose_g", "basket_rated_dose_g"),
    ("depth_mm", "basket_depth_mm"),
    ("headspace_mm", "basket_depth_mm"),
];
/// Names of the fields of `ratio` here, where the water ratio is known: what follows from dose
/// and ratio is wrong at these.
const WATER_RATIO_FIELDS: &[(&str, &str)] = &[
    ("beverage_mass_g", "dose_g"),
    ("water_mass_g", "dose_g"),
    ("retained_ratio", "water_ratio"),
    ("brew_ratio", "water_ratio"),
];
/// The same where the brew ratio is known.
const BREW_RATIO_FIELDS: &[(&str, &str)] = &[
    ("beverage_mass_g", "dose_g"),
    ("water_mass_g", "dose_g"),
    ("retained_ratio", "brew_ratio"),
    ("water_ratio", "brew_ratio"),
];

/// What a basket holds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Basket {
    pub(super) dose_min_g: f64,
    pub(super) dose_max_g: f64,
    pub(super) tamped_depth_mm: Option<f64>,
}

/// The coffee of one brew.
#[derive(Debug)]
pub(super) struct Brew {
    pub(super) ratio: RatioResponse,
    pub(super) basket: Option<Basket>,
    pub(super) serving_g: f64,
    pub(super) strength: Option<StrengthWindow>,
}

/// The coffee of an order.
pub(super) fn of(order: &mut Order<'_>) -> Result<Brew, Problem> {
    let (dose_g, basket) = dose(order)?;
    let request = ratio_request(order, dose_g);
    let fields = if request.water_ratio.is_some() {
        WATER_RATIO_FIELDS
    } else {
        BREW_RATIO_FIELDS
    };
    let ratio = order.ask::<Ratio>(&request);
    let ratio = ratio.map_err(|problem| at_outer_fields(problem, fields))?;
    let cups = f64::from(order.cups_per_brew());
    let serving_g = ratio.beverage_mass_g / cups;
    order.step(|| {
        let substituted = format!("{} / {cups}", shown(ratio.beverage_mass_g));
        let formula = ("B / cups of a brew", "massbalance");
        WorkingStep::new("serving_beverage_g", formula, substituted, (serving_g, "g"))
    });
    let strength = strength(order, &ratio)?;
    let half_is_left = order.brews() * order.cups_per_brew() > order.servings();
    if half_is_left {
        let detail = format!(
            "{} servings of half a basket each leave half of the last basket over",
            order.servings()
        );
        order.miss(NotMetCode::HalfBasketLeft, detail);
    }
    Ok(Brew {
        ratio,
        basket,
        serving_g,
        strength,
    })
}

/// The dose of one brew, inside the range of the basket where there is one.
fn dose(order: &mut Order<'_>) -> Result<(f64, Option<Basket>), Problem> {
    let wanted = order.request.dose_g;
    if !order.is_espresso() {
        return Ok((wanted.unwrap_or(USUAL_FILTER_G), None));
    }
    let Some(basket) = basket_request(order.request) else {
        return Ok((wanted.unwrap_or(USUAL_ESPRESSO_G), None));
    };
    let at_basket = |problem| at_outer_fields(problem, BASKET_FIELDS);
    let held = order.peek::<BasketCapacity>(&basket).map_err(at_basket)?;
    let (least, most) = (held.result.dose_min_g, held.result.dose_max_g);
    let dose_g = match wanted {
        Some(wanted_g) => nearest(order, wanted_g, (least, most)),
        None => basket.rated_dose_g.unwrap_or(f64::midpoint(least, most)),
    };
    let request = BasketCapacityRequest {
        dose_g: Some(dose_g),
        workings: order.shows(),
        ..basket
    };
    let bed = order.ask::<BasketCapacity>(&request).map_err(at_basket)?;
    let has_diameter = order.request.basket_diameter_mm.is_some();
    if !has_diameter {
        order.drop_caution(CautionCode::UnusualBedDepth);
    }
    let basket = Basket {
        dose_min_g: least,
        dose_max_g: most,
        tamped_depth_mm: has_diameter.then_some(bed.tamped_depth_mm),
    };
    Ok((dose_g, Some(basket)))
}

/// The dose wanted, or the nearest one that the basket holds.
fn nearest(order: &mut Order<'_>, wanted_g: f64, (least, most): (f64, f64)) -> f64 {
    let dose_g = if wanted_g < least {
        least
    } else if wanted_g > most {
        most
    } else {
        return wanted_g;
    };
    let detail = format!(
        "the basket holds {least:.2} to {most:.2} g: {dose_g:.2} g are taken instead of {} g",
        shown(wanted_g)
    );
    order.miss(NotMetCode::DoseOutsideBasket, detail);
    dose_g
}

fn basket_request(request: &RecipesRequest) -> Option<BasketCapacityRequest> {
    let rated = request.basket_rated_dose_g;
    let any = rated.map(|_| ANY_DIAMETER_MM);
    Some(BasketCapacityRequest {
        diameter_mm: request.basket_diameter_mm.or(any)?,
        rated_dose_g: rated,
        depth_mm: request.basket_depth_mm,
        ..BasketCapacityRequest::default()
    })
}

fn ratio_request(order: &Order<'_>, dose_g: f64) -> RatioRequest {
    let (brew_ratio, water_ratio) = match (order.request.brew_ratio, order.request.water_ratio) {
        (None, None) if order.is_espresso() => (Some(order.drink.ratio), None),
        (None, None) => (None, Some(order.drink.ratio)),
        given => given,
    };
    RatioRequest {
        brew_kind: Some(order.drink.brew_kind),
        dose_g: Some(dose_g),
        brew_ratio,
        water_ratio,
        workings: order.shows(),
        ..RatioRequest::default()
    }
}

/// The strengths at which `extraction-yield` finds the ends of the chart's yields.
fn strength(
    order: &mut Order<'_>,
    ratio: &RatioResponse,
) -> Result<Option<StrengthWindow>, Problem> {
    let yields = ControlChart::ESPRESSO.yield_percent;
    let mut ends = [0.0; 2];
    for (end, wanted) in ends.iter_mut().zip([yields.min, yields.max]) {
        match strength_for(order, ratio, wanted) {
            Ok(found) => *end = found,
            Err(problem) if problem.code() == ProblemCode::ValidationFailed => {
                let detail = format!(
                    "no strength gives a yield of {wanted} % at a brew ratio of {}",
                    shown(ratio.brew_ratio)
                );
                order.miss(NotMetCode::StrengthOutOfReach, detail);
                return Ok(None);
            }
            Err(problem) => return Err(problem),
        }
    }
    let [low, high] = ends;
    let request = yield_request(order.drink.brew_kind, ratio, low);
    order.ask::<ExtractionYield>(&request)?;
    for (name, percent, wanted) in [
        ("tds_window_percent.low", low, yields.min),
        ("tds_window_percent.high", high, yields.max),
    ] {
        order.step(|| {
            let formula = ("t with E(t) as `extraction-yield` finds it", "massbalance");
            WorkingStep::new(name, formula, format!("E(t) = {wanted} %"), (percent, "%"))
        });
    }
    Ok(Some(StrengthWindow { low, high }))
}

/// A strength so small that every ratio has a possible yield at it, %.
const FIRST_GUESS: f64 = 0.1;
/// Yields nearer than this are the same, percentage points.
const SAME_YIELD: f64 = 1e-10;
/// Steps after which a root is given up; percolation needs one, immersion some four.
const MOST_STEPS: usize = 20;

/// The strength at a yield: secant steps from zero, where both are zero, each of them an answer
/// of `extraction-yield`. The yield rises with the strength almost in proportion.
fn strength_for(order: &Order<'_>, ratio: &RatioResponse, wanted: f64) -> Result<f64, Problem> {
    let yield_at = |tds_percent: f64| {
        let request = yield_request(order.drink.brew_kind, ratio, tds_percent);
        let answer = order.peek::<ExtractionYield>(&request)?;
        Ok::<f64, Problem>(answer.result.extraction_yield_percent)
    };
    let (mut before, mut now) = ((0.0, 0.0), (FIRST_GUESS, yield_at(FIRST_GUESS)?));
    for _ in 0..MOST_STEPS {
        if libm::fabs(now.1 - wanted) < SAME_YIELD {
            return Ok(now.0);
        }
        let slope = (now.1 - before.1) / (now.0 - before.0);
        let next = now.0 + (wanted - now.1) / slope;
        before = now;
        now = (next, yield_at(next)?);
    }
    Err(Problem::internal("the strength of a yield was not found"))
}

fn yield_request(
    brew_kind: BrewKind,
    ratio: &RatioResponse,
    tds_percent: f64,
) -> ExtractionYieldRequest {
    let is_immersion = brew_kind == BrewKind::Immersion;
    ExtractionYieldRequest {
        brew_kind: Some(brew_kind),
        dose_g: ratio.dose_g,
        beverage_mass_g: (!is_immersion).then_some(ratio.beverage_mass_g),
        water_mass_g: is_immersion.then_some(ratio.water_mass_g),
        tds_percent: Some(tds_percent),
        ..ExtractionYieldRequest::default()
    }
}
