//! How much roasted coffee to order, and at what stock.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Coffee that a place uses in a day, from a home to a chain of shops.
pub const DAILY: Range = Range::new("daily use", 0.1, 1_000_000.0, "g");
/// Spread of one day's use.
pub const SPREAD: Range = Range::new("daily spread", 0.0, 1_000_000.0, "g");
/// Share of the beans bought that never becomes a drink.
pub const WASTE: Range = Range::new("waste", 0.0, 90.0, "%");
/// Days from an order to its arrival.
pub const LEAD_TIME: Range = Range::new("lead time", 0.0, 365.0, "d");
/// Days from one order to the next.
pub const PERIOD: Range = Range::new("order period", 0.1, 365.0, "d");
/// Standard deviations of the use kept as safety.
pub const SAFETY_FACTOR: Range = Range::new("safety factor", 0.0, 6.0, "1");
/// Coffee at hand.
pub const ON_HAND: Range = Range::new("coffee on hand", 0.0, 1_000_000_000.0, "g");

/// Days from one order to the next when nothing else is said, d: coffee is bought for one to
/// two weeks; common practice. `[freshness-practice]`
pub const USUAL_PERIOD_DAYS: f64 = 7.0;
/// Safety factor when nothing else is said: the use stays below in 95 of 100 lead times, when
/// it is spread normally.
pub const USUAL_SAFETY_FACTOR: f64 = 1.645;

/// Coffee that leaves the shelf in a day for what goes into the baskets.
///
/// # Equation
/// `d = c / (1 - w / 100)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d | daily use (returned) | g |
/// | c | coffee in the drinks of a day | g |
/// | w | waste: share of the beans bought that never becomes a drink | % |
///
/// # Source
/// `[reorder-point]`: mass balance.
///
/// # Valid for
/// Inside [`DAILY`] and [`WASTE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside, for the use with its waste too.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::stock::daily_use_g;
/// assert!((daily_use_g(950.0, 5.0)? - 1000.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn daily_use_g(in_drinks_g: f64, waste_percent: f64) -> Result<f64, MathsError> {
    let kept = 1.0 - WASTE.check(waste_percent)? / 100.0;
    DAILY.check(DAILY.check(in_drinks_g)? / kept)
}

/// Stock at which to order, so that it lasts until the order arrives.
///
/// # Equation
/// `p = d L + z s sqrt(L)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | reorder point (returned) | g |
/// | d | daily use | g |
/// | L | lead time | d |
/// | z | safety factor | 1 |
/// | s | standard deviation of one day's use | g |
///
/// # Source
/// `[reorder-point]`: the variance of the sum of L independent days is L times that of one.
///
/// # Valid for
/// Days that do not depend on each other, a lead time that is known. Inside [`DAILY`],
/// [`LEAD_TIME`], [`SAFETY_FACTOR`] and [`SPREAD`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::stock::reorder_point_g;
/// let point = reorder_point_g(1000.0, 4.0, (2.0, 150.0))?;
/// assert!((point - 4600.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn reorder_point_g(
    daily_use_g: f64,
    lead_time_days: f64,
    (safety_factor, daily_spread_g): (f64, f64),
) -> Result<f64, MathsError> {
    let daily = DAILY.check(daily_use_g)?;
    let lead = LEAD_TIME.check(lead_time_days)?;
    let safety = SAFETY_FACTOR.check(safety_factor)? * SPREAD.check(daily_spread_g)?;
    Ok(daily * lead + safety * libm::sqrt(lead))
}

/// Coffee used in a number of days.
///
/// # Equation
/// `m = d n`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m | coffee used (returned) | g |
/// | d | daily use | g |
/// | n | days | d |
///
/// # Source
/// `[reorder-point]`: mass balance. With the length of a window it is the largest lot that can
/// be used inside it.
///
/// # Valid for
/// An even use. Inside [`DAILY`]; days from 0 up.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::stock::use_of_days_g;
/// assert!((use_of_days_g(1000.0, 7.0)? - 7000.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn use_of_days_g(daily_use_g: f64, days: f64) -> Result<f64, MathsError> {
    Ok(DAILY.check(daily_use_g)? * super::window::AGE.check(days)?)
}

/// Days that a stock lasts.
///
/// # Equation
/// `n = m / d`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | n | days (returned) | d |
/// | m | coffee on hand | g |
/// | d | daily use | g |
///
/// # Source
/// `[reorder-point]`: mass balance.
///
/// # Valid for
/// An even use. Inside [`ON_HAND`] and [`DAILY`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::stock::days_covered;
/// assert!((days_covered(7000.0, 1000.0)? - 7.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn days_covered(on_hand_g: f64, daily_use_g: f64) -> Result<f64, MathsError> {
    Ok(ON_HAND.check(on_hand_g)? / DAILY.check(daily_use_g)?)
}

/// Coffee on hand that will not be used before its window ends.
///
/// # Equation
/// `u = max(0, m - d max(0, n))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u | coffee left over at the end of the window (returned) | g |
/// | m | coffee on hand | g |
/// | d | daily use | g |
/// | n | days left of the window, negative after it | d |
///
/// # Source
/// `[reorder-point]`: mass balance.
///
/// # Valid for
/// An even use of one lot from today on. Inside [`ON_HAND`] and [`DAILY`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::stock::left_over_g;
/// assert!((left_over_g(9000.0, 1000.0, 7.0)? - 2000.0).abs() < 1e-9);
/// assert!((left_over_g(9000.0, 1000.0, -3.0)? - 9000.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn left_over_g(on_hand_g: f64, daily_use_g: f64, days_left: f64) -> Result<f64, MathsError> {
    let usable = if days_left > 0.0 { days_left } else { 0.0 };
    let left = ON_HAND.check(on_hand_g)? - DAILY.check(daily_use_g)? * usable;
    Ok(if left > 0.0 { left } else { 0.0 })
}
