//! A series of shots as a process: its spread, its statistical limits, its drift, and how much
//! of the spread another quantity or a label explains.
//!
//! Reading order: the spread and its interval, the chart of individual values, the straight
//! line, the groups.

pub mod spread;

pub mod individuals;

pub mod line;

pub mod groups;

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// A value of a series, in the unit of its quantity.
pub const VALUE: Range = Range::new("value of a series", -1e9, 1e9, "unit of the quantity");

/// Sums of squares below this share of the values' own size are rounding.
const ROUNDING: f64 = 1e-26;

/// The count as a number.
fn count(items: usize) -> f64 {
    u32::try_from(items).map_or(f64::MAX, f64::from)
}

/// Mean and sum of the squares of what is left, in two passes.
fn centred(values: &[f64]) -> Result<(f64, f64), MathsError> {
    let n = count(values.len());
    let mut sum = 0.0;
    for value in values {
        sum += VALUE.check(*value)?;
    }
    let rough = sum / n;
    let mean = rough + values.iter().map(|value| value - rough).sum::<f64>() / n;
    let (mut squares, mut left, mut size) = (0.0, 0.0, 0.0_f64);
    for value in values {
        let away = value - mean;
        squares += away * away;
        left += away;
        size = size.max(value * value);
    }
    let squares = squares - left * left / n;
    let is_rounding = squares <= ROUNDING * size * n;
    Ok((mean, if is_rounding { 0.0 } else { squares }))
}
