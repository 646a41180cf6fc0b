//! The stock of a request: what is used, what to order, and when.

use super::BeanSupplyRequest;
use super::shelf::{Shelf, day};
use crate::api::calendar::CalendarDate;
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::maths::supply::stock::{
    USUAL_PERIOD_DAYS, USUAL_SAFETY_FACTOR, daily_use_g, days_covered, left_over_g,
    reorder_point_g, use_of_days_g,
};

/// A stock that reaches its point on a day but for rounding does so on that day.
const ROUNDING_DAYS: f64 = 1e-9;

/// What the daily use asks of the stock.
pub(super) struct Order {
    pub(super) in_drinks_g: f64,
    pub(super) waste_percent: f64,
    pub(super) daily_use_g: f64,
    pub(super) period_days: f64,
    pub(super) order_mass_g: f64,
    pub(super) largest_fresh_order_g: f64,
    pub(super) on_hand_g: f64,
    pub(super) days_covered: f64,
    pub(super) left_over_g: f64,
    pub(super) reorder: Option<Reorder>,
}

/// When to order; only when the lead time is known.
pub(super) struct Reorder {
    pub(super) lead_time_days: f64,
    pub(super) safety_factor: f64,
    pub(super) daily_spread_g: f64,
    pub(super) point_g: f64,
    /// Days from the brew date to the order.
    pub(super) in_days: f64,
    pub(super) date: CalendarDate,
}

impl Order {
    /// The stock of a request; none when it names no daily use.
    ///
    /// # Errors
    /// A [`Problem`] at the field that takes a quantity out of its range.
    pub(super) fn of(request: &BeanSupplyRequest, shelf: &Shelf) -> Result<Option<Self>, Problem> {
        let (in_drinks_g, field) = match (request.daily_dose_g, request.daily_shots) {
            (Some(grams), _) => (grams, "daily_dose_g"),
            (None, Some(shots)) => (shots * request.dose_g.unwrap_or_default(), "daily_shots"),
            (None, None) => return Ok(None),
        };
        let waste_percent = request.waste_percent.unwrap_or(0.0);
        let daily = daily_use_g(in_drinks_g, waste_percent).at(field)?;
        let period_days = request.order_every_days.unwrap_or(USUAL_PERIOD_DAYS);
        let order_mass_g = use_of_days_g(daily, period_days)?;
        let on_hand_g = request.on_hand_g.unwrap_or(order_mass_g);
        let days_left = shelf.window.days_left(shelf.age_days);
        Ok(Some(Self {
            in_drinks_g,
            waste_percent,
            daily_use_g: daily,
            period_days,
            order_mass_g,
            largest_fresh_order_g: use_of_days_g(daily, shelf.window.length_days())?,
            on_hand_g,
            days_covered: days_covered(on_hand_g, daily)?,
            left_over_g: left_over_g(on_hand_g, daily, days_left)?,
            reorder: Reorder::of(request, daily, on_hand_g, days_left)?,
        }))
    }
}

impl Reorder {
    fn of(
        request: &BeanSupplyRequest,
        daily_use_g: f64,
        on_hand_g: f64,
        days_left: f64,
    ) -> Result<Option<Self>, Problem> {
        let Some(lead_time_days) = request.lead_time_days else {
            return Ok(None);
        };
        let safety_factor = request.safety_factor.unwrap_or(USUAL_SAFETY_FACTOR);
        let daily_spread_g = request.daily_spread_g.unwrap_or(0.0);
        let spread = (safety_factor, daily_spread_g);
        let point_g = reorder_point_g(daily_use_g, lead_time_days, spread)?;
        let until_point = (on_hand_g - point_g) / daily_use_g;
        let until_stale = days_left - lead_time_days;
        let in_days = libm::floor(until_point.min(until_stale).max(0.0) + ROUNDING_DAYS);
        Ok(Some(Self {
            lead_time_days,
            safety_factor,
            daily_spread_g,
            point_g,
            in_days,
            date: day(request.brew_date, in_days, "brew_date")?,
        }))
    }
}
