//! The cup of a recipe: the volume of one serving, and whether it fits.

use super::brew::Brew;
use super::milk::Milk;
use super::order::Order;
use super::response::NotMetCode;
use crate::api::provenance::{WorkingStep, shown};

/// One serving in its cup.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cup {
    pub(super) added_water_g: Option<f64>,
    pub(super) drink_ml: Option<f64>,
    pub(super) fits: Option<bool>,
    pub(super) room_ml: Option<f64>,
}

/// The cup of an order. A gram of beverage or water counts as a millilitre, as in the trade.
pub(super) fn of(order: &mut Order<'_>, brew: &Brew, milk: Option<&Milk>) -> Cup {
    let ratio = order.water_ratio();
    let water_g = ratio * brew.serving_g;
    let added_water_g = (ratio > 0.0).then_some(water_g);
    let milk_ml = match milk {
        None => Some(0.0),
        Some(milk) => milk.steamed.as_ref().and_then(|milk| milk.foam_volume_ml),
    };
    let drink_ml = milk_ml.map(|milk_ml| brew.serving_g + water_g + milk_ml);
    if let (Some(milk_ml), Some(drink_ml)) = (milk_ml, drink_ml) {
        explain(order, (brew.serving_g, water_g, milk_ml), drink_ml);
    }
    let cup_ml = order.request.cup_ml;
    let room_ml = cup_ml.zip(drink_ml).map(|(cup, drink)| cup - drink);
    let fits = room_ml.map(|room_ml| room_ml >= 0.0);
    match (cup_ml, drink_ml) {
        (Some(cup_ml), Some(drink_ml)) if drink_ml > cup_ml => {
            let detail = format!(
                "a serving of {drink_ml:.0} mL does not fit into a cup of {} mL: {:.0} mL too \
                 much",
                shown(cup_ml),
                libm::ceil(drink_ml - cup_ml)
            );
            order.miss(NotMetCode::CupTooSmall, detail);
        }
        (Some(_), None) => {
            let detail = "the volume of the milk is not known, since it cannot be steamed as asked";
            order.miss(NotMetCode::CupNotChecked, detail);
        }
        (Some(_) | None, _) => {}
    }
    Cup {
        added_water_g,
        drink_ml,
        fits,
        room_ml,
    }
}

fn explain(order: &mut Order<'_>, (serving_g, water_g, milk_ml): (f64, f64, f64), drink_ml: f64) {
    order.step(|| {
        let terms = [serving_g, water_g, milk_ml].map(shown);
        let formula = (
            "B + added water + steamed milk, 1 g as 1 mL",
            "recipe-practice",
        );
        WorkingStep::new(
            "drink_volume_ml",
            formula,
            terms.join(" + "),
            (drink_ml, "mL"),
        )
    });
}
