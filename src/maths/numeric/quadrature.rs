//! Area under a smooth curve over a finite interval.

use crate::maths::error::MathsError;

/// Halvings of an interval after which its part is taken as it is.
const MOST_HALVINGS: u32 = 48;
/// Difference between an interval and its two halves, in units of the result, that is let pass.
const TOLERANCE: f64 = 1e-13;

/// Area under a curve by five-point Gauss-Legendre rules on intervals that are halved until
/// the halves agree with the whole.
///
/// Order: an interval's error falls with its width to the tenth power. Stopping: the two halves
/// differ from the whole by less than 1e-13, or the interval is 2^-48 of the first. Cost:
/// fifteen values for each interval that passes at once. Fails only when the curve does; a
/// curve with a kink is cheap only when the kink is an end.
///
/// # Errors
/// Those of the curve.
pub fn area<F>(curve: &F, from: f64, to: f64) -> Result<f64, MathsError>
where
    F: Fn(f64) -> Result<f64, MathsError>,
{
    let whole = five_points(curve, from, to)?;
    halved(curve, (from, to), whole, MOST_HALVINGS)
}

fn halved<F>(curve: &F, (from, to): (f64, f64), whole: f64, left: u32) -> Result<f64, MathsError>
where
    F: Fn(f64) -> Result<f64, MathsError>,
{
    let middle = f64::midpoint(from, to);
    let (lower, upper) = (
        five_points(curve, from, middle)?,
        five_points(curve, middle, to)?,
    );
    if left == 0 || (lower + upper - whole).abs() <= TOLERANCE {
        return Ok(lower + upper);
    }
    Ok(halved(curve, (from, middle), lower, left - 1)?
        + halved(curve, (middle, to), upper, left - 1)?)
}

/// The five-point Gauss-Legendre rule, exact for polynomials of degree nine: the roots of the
/// fifth Legendre polynomial in closed form.
fn five_points<F>(curve: &F, from: f64, to: f64) -> Result<f64, MathsError>
where
    F: Fn(f64) -> Result<f64, MathsError>,
{
    let (centre, half) = (f64::midpoint(from, to), 0.5 * (to - from));
    let root = 2.0 * (10.0_f64 / 7.0).sqrt();
    let lean = 13.0 * 70.0_f64.sqrt();
    let mut sum = 128.0 / 225.0 * curve(centre)?;
    for (place, weight) in [
        ((5.0 - root).sqrt() / 3.0, (322.0 + lean) / 900.0),
        ((5.0 + root).sqrt() / 3.0, (322.0 - lean) / 900.0),
    ] {
        sum += weight * (curve(centre - half * place)? + curve(centre + half * place)?);
    }
    Ok(half * sum)
}

#[cfg(test)]
mod tests {
    use super::{area, five_points};

    #[test]
    fn the_rule_is_exact_up_to_degree_nine() {
        for degree in 0..=9 {
            let found = five_points(&|x: f64| Ok(x.powi(degree)), 0.0, 2.0).unwrap();
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
