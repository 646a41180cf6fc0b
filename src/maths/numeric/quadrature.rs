//! Area under a smooth curve over a finite interval.

use std::sync::OnceLock;

use crate::maths::error::MathsError;

/// Halvings of an interval after which its part is taken as it is.
const MOST_HALVINGS: u32 = 48;
/// Difference between an interval and its two halves, in units of the result, that is let pass.
const TOLERANCE: f64 = 1e-13;
/// Points of the rule, which lie alike on both sides of the middle: a bell over all its width
/// takes a third of the values that it takes with five points.
const DEGREE: u8 = 20;
const PAIRS: usize = DEGREE as usize / 2;

/// Area under a curve by twenty-point Gauss-Legendre rules on intervals that are halved until
/// the halves agree with the whole.
///
/// Order: an interval's error falls with its width to the fortieth power. Stopping: the two
/// halves differ from the whole by less than 1e-13, or the interval is 2^-48 of the first.
/// Cost: sixty values for each interval that passes at once. Fails only when the curve does; a
/// curve with a kink is cheap only when the kink is an end.
///
/// # Errors
/// Those of the curve.
pub fn area<F>(curve: &F, from: f64, to: f64) -> Result<f64, MathsError>
where
    F: Fn(f64) -> Result<f64, MathsError>,
{
    let whole = rule(curve, from, to)?;
    halved(curve, (from, to), whole, MOST_HALVINGS)
}

fn halved<F>(curve: &F, (from, to): (f64, f64), whole: f64, left: u32) -> Result<f64, MathsError>
where
    F: Fn(f64) -> Result<f64, MathsError>,
{
    let middle = f64::midpoint(from, to);
    let (lower, upper) = (rule(curve, from, middle)?, rule(curve, middle, to)?);
    if left == 0 || (lower + upper - whole).abs() <= TOLERANCE {
        return Ok(lower + upper);
    }
    Ok(halved(curve, (from, middle), lower, left - 1)?
        + halved(curve, (middle, to), upper, left - 1)?)
}

/// The Gauss-Legendre rule, exact for polynomials of degree thirty-nine.
fn rule<F>(curve: &F, from: f64, to: f64) -> Result<f64, MathsError>
where
    F: Fn(f64) -> Result<f64, MathsError>,
{
    let (centre, half) = (f64::midpoint(from, to), 0.5 * (to - from));
    let mut sum = 0.0;
    for (place, weight) in points() {
        sum += weight * (curve(centre - half * place)? + curve(centre + half * place)?);
    }
    Ok(half * sum)
}

/// Places in the upper half of -1 to 1, and their weights `2 / ((1 - x^2) P'(x)^2)`
/// (`[dlmf2010]` 3.5.20 to 3.5.24, from memory; the tests integrate polynomials).
fn points() -> &'static [(f64, f64); PAIRS] {
    static POINTS: OnceLock<[(f64, f64); PAIRS]> = OnceLock::new();
    POINTS.get_or_init(|| {
        let mut points = [(0.0, 0.0); PAIRS];
        for (place, point) in (0_u8..).zip(&mut points) {
            let part = (f64::from(place) + 0.75) / (f64::from(DEGREE) + 0.5);
            let mut x = libm::cos(std::f64::consts::PI * part);
            // Newton's method doubles the digits of a start that has three
            for _ in 0..4 {
                let (value, slope) = legendre(x);
                x -= value / slope;
            }
            let (_, slope) = legendre(x);
            *point = (x, 2.0 / ((1.0 - x * x) * slope * slope));
        }
        points
    })
}

/// The Legendre polynomial of the rule's degree and its derivative, by the recurrence.
fn legendre(x: f64) -> (f64, f64) {
    let (mut before, mut value) = (1.0, x);
    for n in (2..=DEGREE).map(f64::from) {
        let next = ((2.0 * n - 1.0) * x * value - (n - 1.0) * before) / n;
        (before, value) = (value, next);
    }
    let slope = f64::from(DEGREE) * (x * value - before) / (x * x - 1.0);
    (value, slope)
}

#[cfg(test)]
mod tests {
    use super::{area, rule};

    #[test]
    fn the_rule_is_exact_up_to_degree_thirty_nine() {
        for degree in 0..=39 {
            let found = rule(&|x: f64| Ok(x.powi(degree)), 0.0, 2.0).unwrap();
            let exact = 2f64.powi(degree + 1) / f64::from(degree + 1);
            assert!((found - exact).abs() < 1e-12 * exact, "{degree}: {found}");
        }
    }

    #[test]
    fn halving_finds_the_area_under_a_narrow_peak() {
        // 1 / (1 + (x / w)^2): w (arctan(1/w) - arctan(-1/w))
        let width = 1e-4;
        let found = area(
            &|x: f64| Ok(1.0 / (1.0 + (x / width) * (x / width))),
            -1.0,
            1.0,
        );
        let exact = 2.0 * width * (1.0 / width).atan();
        assert!((found.unwrap() - exact).abs() < 1e-12);
    }
}
