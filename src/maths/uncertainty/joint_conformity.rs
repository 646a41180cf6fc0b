//! What two measured values that depend on each other say about a window of both.

use super::{DegreesOfFreedom, SPREAD, normal, student};
use crate::maths::error::MathsError;
use crate::maths::numeric::quadrature::area;
use crate::maths::range::Range;

/// Slope of the second value with the first.
pub const SLOPE: Range = Range::new("slope", 1e-12, 1e15, "unit of the ratio");
/// Standard deviations of the independent part that are integrated over: 1e-17 lies outside.
const REACH: f64 = 8.6;
/// A certain value that passes a limit by no more than this is on it.
const ROUNDING: f64 = 1e-9;

/// A measured value, and a second one that follows it and has an uncertainty of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DependentPair {
    /// Best estimate of the first value.
    pub first: f64,
    /// Standard uncertainty of the first value.
    pub first_uncertainty: f64,
    /// Of the first value: infinite is normal, finite is a scaled and shifted Student's t.
    pub first_degrees_of_freedom: DegreesOfFreedom,
    /// Best estimate of the second value.
    pub second: f64,
    /// Derivative of the second value by the first; positive.
    pub slope: f64,
    /// Standard uncertainty of the second value from everything but the first: normal.
    pub second_own_uncertainty: f64,
}

/// An interval whose ends may be infinite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Probability that both of two dependent values lie in their intervals.
///
/// # Equation
/// `p = integral phi(q) [F(z_U(q)) - F(z_L(q))] dq`, where `x = x0 + u_x z` and
/// `y = y0 + s u_x z + u_y q`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | probability of both (returned) | 1 |
/// | x0, `u_x` | first value and its standard uncertainty | any |
/// | y0, s, `u_y` | second value, its slope with the first, its own uncertainty | any |
/// | phi, F | normal density of q; distribution of z, normal or Student's t | 1 |
/// | `z_L`, `z_U` | range of z that keeps both values inside at this q | 1 |
///
/// # Source
/// `[jcgm2012]` clause 7 for two quantities, one of which follows the other to first order;
/// the t distribution as in `[jcgm2008s1]` 6.4.9. One integral, split where the limits of z
/// change sides: a part between limits that do not move with q is known, the others are left
/// to [`area`]; good to 1e-11.
///
/// # Valid for
/// Slopes inside [`SLOPE`]. Without uncertainty a value is inside or not, limits included.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a slope outside or an
/// uncertainty outside [`SPREAD`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom,
/// #     joint_conformity::{DependentPair, Interval, joint_probability}};
/// let pair = DependentPair {
///     first: 0.0,
///     first_uncertainty: 1.0,
///     first_degrees_of_freedom: DegreesOfFreedom::INFINITE,
///     second: 0.0,
///     slope: 1.0,
///     second_own_uncertainty: 1.0,
/// };
/// let positive = Interval { low: 0.0, high: f64::INFINITY };
/// // correlation 1/sqrt(2): a quarter and an eighth of the plane
/// assert!((joint_probability(&pair, positive, positive)? - 0.375).abs() < 1e-11);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn joint_probability(
    pair: &DependentPair,
    first: Interval,
    second: Interval,
) -> Result<f64, MathsError> {
    SPREAD.check(pair.first_uncertainty)?;
    SPREAD.check(pair.second_own_uncertainty)?;
    SLOPE.check(pair.slope)?;
    if pair.first_uncertainty == 0.0 {
        return Ok(if first.holds(pair.first) {
            of_second_alone(pair, second)
        } else {
            0.0
        });
    }
    let limits = Limits::new(pair, first, second);
    if pair.second_own_uncertainty == 0.0 {
        return limits.probability_at_best_estimate();
    }
    let mut sum = 0.0;
    let mut from = -REACH;
    for to in limits.kinks() {
        sum += limits.part(from, to)?;
        from = to;
    }
    Ok(sum.clamp(0.0, 1.0))
}

impl Interval {
    fn holds(&self, value: f64) -> bool {
        self.low - ROUNDING <= value && value <= self.high + ROUNDING
    }
}

fn of_second_alone(pair: &DependentPair, interval: Interval) -> f64 {
    let spread = pair.second_own_uncertainty;
    if spread == 0.0 {
        return if interval.holds(pair.second) {
            1.0
        } else {
            0.0
        };
    }
    let up_to = |limit: f64| normal::cumulative((limit - pair.second) / spread);
    up_to(interval.high) - up_to(interval.low)
}

/// A limit of z on a part of the integral.
#[derive(Debug, Clone, Copy)]
enum Edge {
    /// It does not move with q, or has nothing beyond it: the probability up to it.
    Fixed(f64),
    /// Where it is at no deviation of the own part, with which it falls.
    Moving(f64),
}

/// Limits of z, the first value's deviation in standard uncertainties.
struct Limits {
    /// By the first value itself.
    first: (f64, f64),
    /// By the second value where its own deviation is zero.
    second: (f64, f64),
    /// By how much the second ones fall for each standard deviation of the own part.
    fall: f64,
    degrees_of_freedom: DegreesOfFreedom,
}

impl Limits {
    fn new(pair: &DependentPair, first: Interval, second: Interval) -> Self {
        let first_at = |limit: f64| (limit - pair.first) / pair.first_uncertainty;
        let carried = pair.slope * pair.first_uncertainty;
        let second_at = |limit: f64| (limit - pair.second) / carried;
        Self {
            first: (first_at(first.low), first_at(first.high)),
            second: (second_at(second.low), second_at(second.high)),
            fall: pair.second_own_uncertainty / carried,
            degrees_of_freedom: pair.first_degrees_of_freedom,
        }
    }

    /// Probability that both are inside when the own part does not deviate.
    fn probability_at_best_estimate(&self) -> Result<f64, MathsError> {
        let low = self.first.0.max(self.second.0);
        let high = self.first.1.min(self.second.1);
        if high <= low {
            return Ok(0.0);
        }
        Ok(self.up_to(high)? - self.up_to(low)?)
    }

    /// The part of the integral between two neighbouring kinks, where no limits change sides.
    fn part(&self, from: f64, to: f64) -> Result<f64, MathsError> {
        let q = f64::midpoint(from, to);
        let (low, high) = (
            self.first.0.max(self.second.0 - self.fall * q),
            self.first.1.min(self.second.1 - self.fall * q),
        );
        if high <= low {
            return Ok(0.0);
        }
        let low = self.edge((self.first.0, self.second.0), low)?;
        let high = self.edge((self.first.1, self.second.1), high)?;
        if let (Edge::Fixed(below), Edge::Fixed(up)) = (low, high) {
            let weight = normal::cumulative(to) - normal::cumulative(from);
            return Ok(weight * (up - below));
        }
        let curve = |q: f64| {
            let inside = self.up_to_edge(high, q)? - self.up_to_edge(low, q)?;
            Ok(normal::density(q) * inside)
        };
        area(&curve, from, to)
    }

    /// The one of two limits that counts, by where it stands in the middle of a part.
    fn edge(&self, (first, second): (f64, f64), z: f64) -> Result<Edge, MathsError> {
        // a normal limit beyond the reach stays there: its crossings are kinks as well
        let is_beyond = self.is_normal() && z.abs() >= REACH;
        Ok(if is_beyond || z.total_cmp(&first).is_eq() {
            Edge::Fixed(self.up_to(z)?)
        } else {
            Edge::Moving(second)
        })
    }

    fn up_to_edge(&self, edge: Edge, q: f64) -> Result<f64, MathsError> {
        match edge {
            Edge::Fixed(probability) => Ok(probability),
            Edge::Moving(start) => self.up_to(start - self.fall * q),
        }
    }

    const fn is_normal(&self) -> bool {
        self.degrees_of_freedom.value().is_none()
    }

    fn up_to(&self, z: f64) -> Result<f64, MathsError> {
        if self.is_normal() {
            return Ok(normal::cumulative(z));
        }
        let z = z.clamp(student::ARGUMENT.min, student::ARGUMENT.max);
        student::cumulative(z, self.degrees_of_freedom)
    }

    /// Where the limits change sides, in order, and the end of the integral.
    fn kinks(&self) -> Vec<f64> {
        let (first, second) = (self.first, self.second);
        let reach = self.is_normal().then_some([-REACH, REACH]);
        let fixed = [first.0, first.1]
            .into_iter()
            .chain(reach.into_iter().flatten());
        let mut kinks: Vec<_> = fixed
            .flat_map(|first| [second.0 - first, second.1 - first])
            .map(|gap| gap / self.fall)
            .filter(|q| -REACH < *q && *q < REACH)
            .collect();
        kinks.sort_by(f64::total_cmp);
        kinks.push(REACH);
        kinks
    }
}
