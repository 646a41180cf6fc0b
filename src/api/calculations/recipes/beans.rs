//! The beans of a recipe: their age, and how many of them it takes.

use super::order::Order;
use super::response::NotMetCode;
use crate::api::calculations::bean_supply::{BeanSupply, BeanSupplyRequest, BeanWindow};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::supply::stock::daily_use_g;

/// Beans of an order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beans {
    pub(super) age_days: Option<f64>,
    pub(super) in_window: Option<bool>,
    /// Beans for all brews, with what is wasted of them.
    pub(super) mass_g: f64,
}

/// The beans of an order whose brews take so much each.
pub(super) fn of(order: &mut Order<'_>, dose_g: f64) -> Result<Beans, Problem> {
    let waste_percent = order.request.waste_percent.unwrap_or(0.0);
    // the same balance as that of a day's use: nothing in it depends on the day
    let of_brew_g = daily_use_g(dose_g, waste_percent).at("waste_percent")?;
    let brews = f64::from(order.brews());
    let mass_g = brews * of_brew_g;
    if order.request.waste_percent.is_some() {
        order.use_source("reorder-point".into());
    }
    order.step(|| {
        let terms = [brews, dose_g, waste_percent].map(shown);
        let [n, dose, waste] = &terms;
        let substituted = format!("{n} × {dose} / (1 − {waste} / 100)");
        let formula = ("brews × D / (1 − w / 100)", "reorder-point");
        WorkingStep::new("totals.beans_g", formula, substituted, (mass_g, "g"))
    });
    let (age_days, in_window) = shelf(order)?.unzip();
    Ok(Beans {
        age_days,
        in_window,
        mass_g,
    })
}

/// Age of the beans and whether they are inside their window; none when no date was given.
fn shelf(order: &mut Order<'_>) -> Result<Option<(f64, bool)>, Problem> {
    let asked = order.request;
    let Some((roast_date, brew_date)) = asked.roast_date.zip(asked.brew_date) else {
        return Ok(None);
    };
    let request = BeanSupplyRequest {
        window_start_days: asked.window_start_days,
        window_end_days: asked.window_end_days,
        frozen_days: asked.frozen_days,
        workings: order.shows(),
        ..BeanSupplyRequest::of_dates(roast_date, brew_date)
    };
    let answer = order.ask::<BeanSupply>(&request)?;
    let (start, end) = (answer.window_start_date, answer.window_end_date);
    let state = match answer.window_state {
        BeanWindow::Open => None,
        BeanWindow::Resting => Some("still fresh"),
        BeanWindow::Past => Some("old"),
    };
    if let Some(state) = state {
        let age = shown(answer.age_days);
        let detail =
            format!("the beans are {state} at {age} days: their window runs from {start} to {end}");
        order.miss(NotMetCode::BeansOutsideWindow, detail);
    }
    Ok(Some((answer.age_days, answer.in_window)))
}
