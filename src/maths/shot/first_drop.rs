//! When the first drop fell.

use super::bumps::median;
use super::smooth::Lag;
use super::stream::{Reading, Stream};

/// Rise above the empty cup that is beverage for sure, g.
const RISE_G: f64 = 0.5;

/// Time that the rise must stay, s: a drop stays, a knock does not.
const STAYS_S: f64 = 0.5;

/// Readings before and after the rise that the curve is fitted to, s.
const WINDOW_S: (f64, f64) = (6.0, 3.0);

/// How far before the rise the first drop is looked for, s.
const SEARCH_S: f64 = 4.0;

/// Steps of the search, s.
const STEPS_S: [f64; 2] = [0.1, 0.01];

/// Fewest readings before the rise, without which nothing is known of the beginning.
const FEWEST_BEFORE: usize = 3;

/// Fewest readings that the curve is fitted to.
const FEWEST: usize = 8;

/// Half-width of what a lag that is not measured may be off, as a share of it.
const LAG_HALF_WIDTH: f64 = 0.25;

/// Standard uncertainty from single drops of some 0.08 g, which are no smooth curve, s.
/// From simulated streams of the project's own tests.
const DROPS_S: f64 = 0.06;

/// When the first drop fell, and what stood on the scale before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstDrop {
    /// When it fell, on the clock of the readings, s.
    pub time_s: f64,
    /// Standard uncertainty, s.
    pub standard_uncertainty_s: f64,
    /// Mass on the scale before, g.
    pub empty_g: f64,
}

impl FirstDrop {
    /// The first drop: a curve that is flat, then rises like a parabola, seen through the
    /// scale's lag, fitted to the beginning of the stream by least squares over its bend.
    ///
    /// None when no beverage came, or when the stream begins after it.
    #[must_use]
    pub fn find(stream: &Stream, lag: Lag) -> Option<Self> {
        let readings: Vec<Reading> = stream.of_use().copied().collect();
        let rise = rise(&readings)?;
        let rise_s = readings.get(rise)?.time_s;
        let begin = readings.partition_point(|r| r.time_s < rise_s - WINDOW_S.0);
        let end = readings.partition_point(|r| r.time_s <= rise_s + WINDOW_S.1);
        let window = readings.get(begin..end)?;
        if rise - begin < FEWEST_BEFORE || window.len() < FEWEST {
            return None;
        }
        let fit_at = |bend_s: f64| Fit::of(window, bend_s, lag.scale_s);
        let earliest_s = libm::fmax(rise_s - SEARCH_S, window.first()?.time_s);
        let coarse = best(&fit_at, (earliest_s, rise_s), STEPS_S[0])?;
        let around = (coarse - STEPS_S[0], coarse + STEPS_S[0]);
        let bend_s = best(&fit_at, around, STEPS_S[1])?;
        let fit = fit_at(bend_s)?;
        let of_fit_s = fit_uncertainty_s(&fit_at, bend_s, window.len())?;
        let of_lag_s = LAG_HALF_WIDTH * lag.scale_s / libm::sqrt(3.0);
        let squares = of_fit_s * of_fit_s + of_lag_s * of_lag_s + DROPS_S * DROPS_S;
        Some(Self {
            time_s: bend_s - lag.transport_s,
            standard_uncertainty_s: libm::sqrt(squares),
            empty_g: fit.empty_g,
        })
    }
}

/// The first reading that is above the empty cup for good.
fn rise(readings: &[Reading]) -> Option<usize> {
    let first: Vec<_> = readings.iter().take(5).map(|r| r.mass_g).collect();
    let empty_g = median(first);
    let stays = |place: usize| {
        let rest = readings.get(place..).unwrap_or_default();
        let begin_s = rest.first().map_or(0.0, |r| r.time_s);
        rest.iter()
            .take_while(|r| r.time_s <= begin_s + STAYS_S)
            .all(|r| r.mass_g > empty_g + 0.8 * RISE_G)
    };
    let is_above = |r: &Reading| r.mass_g > empty_g + RISE_G;
    (0..readings.len()).find(|place| readings.get(*place).is_some_and(is_above) && stays(*place))
}

/// The instant with the smallest sum of squares, by steps.
fn best(
    fit_at: &dyn Fn(f64) -> Option<Fit>,
    (from_s, to_s): (f64, f64),
    step_s: f64,
) -> Option<f64> {
    let count = libm::floor((to_s - from_s) / step_s + 0.5);
    let places = (0..=u32::MAX).map(f64::from).take_while(|n| *n <= count);
    let fits = places.filter_map(|n| {
        let at_s = from_s + n * step_s;
        Some((at_s, fit_at(at_s)?.squares_g2))
    });
    fits.min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(at_s, _)| at_s)
}

/// Standard uncertainty of the bend from the curvature of the sum of squares, s.
fn fit_uncertainty_s(
    fit_at: &dyn Fn(f64) -> Option<Fit>,
    bend_s: f64,
    count: usize,
) -> Option<f64> {
    const REACH_S: f64 = 0.2;
    let squares = |at_s: f64| fit_at(at_s).map(|fit| fit.squares_g2);
    let middle = squares(bend_s)?;
    let sides = squares(bend_s - REACH_S)? + squares(bend_s + REACH_S)?;
    let curvature = libm::fmax((sides - 2.0 * middle) / (REACH_S * REACH_S), 1e-9);
    let degrees = f64::from(u32::try_from(count).unwrap_or(u32::MAX)) - 4.0;
    Some(libm::sqrt(2.0 * middle / degrees / curvature))
}

/// The curve with a bend at one instant that comes closest.
struct Fit {
    empty_g: f64,
    squares_g2: f64,
}

impl Fit {
    fn of(window: &[Reading], bend_s: f64, lag_s: f64) -> Option<Self> {
        let both = Self::with(window, |time_s| lagged(time_s - bend_s, lag_s))?;
        if both.1[1] >= 0.0 {
            return Some(both.0);
        }
        // a flow does not begin backwards
        let only_growing = |time_s: f64| [0.0, lagged(time_s - bend_s, lag_s)[1]];
        Self::with(window, only_growing).map(|(fit, _)| fit)
    }

    /// Least squares of a constant and two terms.
    fn with(window: &[Reading], terms: impl Fn(f64) -> [f64; 2]) -> Option<(Self, [f64; 3])> {
        let mut normal = [[0.0; 4]; 3];
        for reading in window {
            let [one, two] = terms(reading.time_s);
            let row = [1.0, one, two, reading.mass_g];
            for (sums, left) in normal.iter_mut().zip(row) {
                for (sum, right) in sums.iter_mut().zip(row) {
                    *sum += left * right;
                }
            }
        }
        let found = solved(normal)?;
        let off = |reading: &Reading| {
            let [one, two] = terms(reading.time_s);
            let off_g = reading.mass_g - found[0] - found[1] * one - found[2] * two;
            off_g * off_g
        };
        let squares_g2 = window.iter().map(off).sum();
        let empty_g = found[0];
        let fit = Self {
            empty_g,
            squares_g2,
        };
        Some((fit, found))
    }
}

/// What a lagging scale shows of a flow of 1 g/s and of one that grows by 2 g/s each second,
/// this long after they began.
fn lagged(since_s: f64, lag_s: f64) -> [f64; 2] {
    if since_s <= 0.0 {
        return [0.0, 0.0];
    }
    let gone = if lag_s > 0.0 {
        lag_s * (1.0 - libm::exp(-since_s / lag_s))
    } else {
        0.0
    };
    let of_steady = since_s - gone;
    [of_steady, since_s * since_s - 2.0 * lag_s * of_steady]
}

/// Solution of three linear equations of a least-squares problem; a term that is nothing gets
/// a factor of 0.
fn solved(mut rows: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    for place in 0..3 {
        if rows[place][place] <= 1e-12 {
            rows[place] = [0.0; 4];
            rows[place][place] = 1.0;
        }
        let pivot = rows[place];
        for row in rows.iter_mut().skip(place + 1) {
            let share = row[place] / pivot[place];
            for (cell, above) in row.iter_mut().zip(pivot) {
                *cell -= share * above;
            }
        }
    }
    let third = rows[2][3] / rows[2][2];
    let second = (rows[1][3] - rows[1][2] * third) / rows[1][1];
    let first = (rows[0][3] - rows[0][1] * second - rows[0][2] * third) / rows[0][0];
    [first, second, third]
        .iter()
        .all(|x| x.is_finite())
        .then_some([first, second, third])
}
