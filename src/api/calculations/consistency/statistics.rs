//! The statistics of one quantity.

use super::explained::shares;
use super::request::{Series, ShotMade};
use super::response::{
    DriftMade, LeftOut, LeftOutCode, QuantityMade, Statistic, StatisticalLimits,
};
use crate::api::problem::Problem;
use crate::maths::MathsError;
use crate::maths::process::individuals::individuals_limits;
use crate::maths::process::line::least_squares_line;
use crate::maths::process::spread::spread_interval;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::student::two_sided_quantile;
use crate::maths::uncertainty::type_a::type_a;

/// Fewest shots for a spread, for limits and a drift, and for a share.
const SPREAD_FROM: usize = 2;
const ORDER_FROM: usize = 3;
pub(super) const SHARE_FROM: usize = 4;

/// Values beyond a limit by less than this share of their size are on it.
const ROUNDING: f64 = 1e-12;

/// The statistics of one quantity; nothing where no shot tells it.
pub(super) fn of(
    series: &Series,
    shots: &[ShotMade],
    coverage: f64,
    left_out: &mut Vec<LeftOut>,
) -> Result<Option<QuantityMade>, Problem> {
    let values = series.values.as_slice();
    if values.len() < SPREAD_FROM {
        if !values.is_empty() {
            left_out.push(too_few(series, Statistic::All, SPREAD_FROM));
        }
        return Ok(None);
    }
    let readings = type_a(values)?;
    let spread = readings.standard_deviation;
    let interval = spread_interval(spread, readings.degrees_of_freedom, coverage)?;
    let end = |best: fn(f64, f64) -> f64| values.iter().copied().fold(readings.mean, best);
    let (limits, drift) = if values.len() < ORDER_FROM {
        left_out.push(too_few(series, Statistic::Limits, ORDER_FROM));
        left_out.push(too_few(series, Statistic::Drift, ORDER_FROM));
        (None, None)
    } else {
        (Some(limits(series)?), drift(series, coverage, left_out)?)
    };
    Ok(Some(QuantityMade {
        count: values.len(),
        mean: readings.mean,
        spread,
        spread_low: interval.low,
        spread_high: interval.high,
        relative_spread_percent: (readings.mean > 0.0).then(|| 100.0 * spread / readings.mean),
        smallest: end(f64::min),
        largest: end(f64::max),
        limits,
        drift,
        share_explained: shares(series, shots, left_out)?,
    }))
}

fn too_few(series: &Series, statistic: Statistic, fewest: usize) -> LeftOut {
    LeftOut {
        quantity: series.quantity,
        statistic,
        by: None,
        code: LeftOutCode::TooFewShots,
        detail: format!(
            "it takes {fewest} shots that tell it, and there are {}",
            series.values.len()
        ),
    }
}

fn limits(series: &Series) -> Result<StatisticalLimits, MathsError> {
    let found = individuals_limits(&series.values)?;
    let slack = ROUNDING * found.centre.abs();
    let is_outside = |value: f64| value < found.lower - slack || found.upper + slack < value;
    let outside = series.places.iter().zip(&series.values);
    Ok(StatisticalLimits {
        centre: found.centre,
        lower: found.lower,
        upper: found.upper,
        mean_moving_range: found.mean_moving_range,
        outside: outside
            .filter(|(_, value)| is_outside(**value))
            .map(|(place, _)| *place)
            .collect(),
    })
}

/// A straight line over the places of the shots.
fn drift(
    series: &Series,
    coverage: f64,
    left_out: &mut Vec<LeftOut>,
) -> Result<Option<DriftMade>, Problem> {
    let places = series.places.iter().map(|place| place_of(*place));
    let line = match least_squares_line(&places.collect::<Vec<_>>(), &series.values) {
        Ok(line) => line,
        Err(MathsError::NoSolution { .. }) => {
            left_out.push(LeftOut {
                code: LeftOutCode::AllAlike,
                detail: "all values are alike".to_owned(),
                ..too_few(series, Statistic::Drift, ORDER_FROM)
            });
            return Ok(None);
        }
        Err(error) => return Err(error.into()),
    };
    let freedom = DegreesOfFreedom::finite(line.degrees_of_freedom)?;
    let width = two_sided_quantile(coverage, freedom)? * line.slope_uncertainty;
    Ok(Some(DriftMade {
        change_per_shot: line.slope,
        low: line.slope - width,
        high: line.slope + width,
        p_value: line.p_value,
        is_clear: width < line.slope.abs(),
        share_percent: 100.0 * line.share,
        adjusted_share_percent: 100.0 * line.adjusted_share,
    }))
}

/// A place as a number; a list has far fewer items than 32 bits.
fn place_of(place: usize) -> f64 {
    u32::try_from(place).map_or(f64::MAX, f64::from)
}
