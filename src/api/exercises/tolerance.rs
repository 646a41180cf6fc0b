//! How near an answer must be to the value: by its significant figures, and by the uncertainty
//! of the value where it has one.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Slack for the rounding of the subtraction itself.
const SLACK: f64 = 1.0 + 1e-9;

/// What rounding on the way makes at most, as a share of the value: one figure less can be far more
/// where the first one is a 1 (common practice, no source).
const NEAR: f64 = 0.03;
/// Distance from the middle between two roundings below which a value stands on the edge, in units
/// of the last figure.
const EDGE: f64 = 0.08;

/// What a tolerance follows from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ToleranceFrom {
    /// Half a unit in the last significant figure asked for.
    SignificantFigures,
    /// Half a unit in the first figure of the value's standard uncertainty, where that is more:
    /// digits beyond it say nothing.
    Uncertainty,
}

/// How far an answer may be from the value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Largest distance.
    pub half_width: f64,
    /// What it follows from.
    pub from: ToleranceFrom,
}

impl Tolerance {
    /// The tolerance of a value to be given to so many figures.
    #[must_use]
    pub fn of(value: f64, figures: u8, uncertainty: Option<f64>) -> Self {
        let by_figures = half_unit(value, figures);
        match uncertainty.map(|u| half_unit(u, 1)) {
            Some(by_uncertainty) if by_uncertainty > by_figures => Self {
                half_width: by_uncertainty,
                from: ToleranceFrom::Uncertainty,
            },
            Some(_) | None => Self {
                half_width: by_figures,
                from: ToleranceFrom::SignificantFigures,
            },
        }
    }

    /// Whether an answer agrees with a value.
    #[must_use]
    pub fn holds(&self, answer: f64, value: f64) -> bool {
        libm::fabs(answer - value) <= self.half_width * SLACK
    }

    /// Whether an answer agrees with a value to one figure less, and within `NEAR` of it.
    #[must_use]
    pub fn nearly_holds(&self, answer: f64, value: f64) -> bool {
        let near = (10.0 * self.half_width).min(NEAR * libm::fabs(value));
        libm::fabs(answer - value) <= near * SLACK
    }
}

/// Whether a value stands on the edge between two roundings to so many figures, where the digits of
/// a table or a datum would decide between right and wrong.
#[must_use]
pub fn is_on_the_edge(value: f64, figures: u8) -> bool {
    let units = libm::fabs(value) / (2.0 * half_unit(value, figures));
    libm::fabs(units - libm::floor(units) - 0.5) < EDGE
}

/// A value rounded to so many figures, as it is written by hand: zeros stand for what is rounded
/// away before the point.
#[must_use]
pub fn to_figures(value: f64, figures: u8) -> String {
    let digits = usize::from(figures.max(1)) - 1;
    let rounded = format!("{value:.digits$e}");
    let Some((mantissa, power)) = rounded.split_once('e') else {
        return rounded;
    };
    let power: i32 = power.parse().unwrap_or(0);
    let decimals = usize::try_from(i32::from(figures) - 1 - power).unwrap_or(0);
    let value = mantissa.parse::<f64>().unwrap_or(value) * libm::pow(10.0, f64::from(power));
    format!("{value:.decimals$}").replace('-', "−")
}

/// Half a unit in the last of so many significant figures.
fn half_unit(value: f64, figures: u8) -> f64 {
    let size = libm::fabs(value);
    let place = if size > 0.0 {
        libm::floor(libm::log10(size))
    } else {
        0.0
    };
    0.5 * libm::pow(10.0, place - f64::from(figures) + 1.0)
}

#[cfg(test)]
mod tests {
    use super::{Tolerance, ToleranceFrom, is_on_the_edge, to_figures};

    /// By hand: 18.402 to three figures is 18.4, its last place 0.1; 0.01368 ends at 0.0001.
    #[test]
    fn the_tolerance_is_half_of_the_last_place() {
        for (value, figures, expected) in [
            (18.402, 3, 0.05),
            (0.013_68, 3, 0.000_05),
            (999.0, 2, 5.0),
            (-4.2, 1, 0.5),
            (0.0, 3, 0.005),
        ] {
            let tolerance = Tolerance::of(value, figures, None);
            assert!(
                (tolerance.half_width / expected - 1.0).abs() < 1e-12,
                "{value}"
            );
        }
    }

    #[test]
    fn a_large_uncertainty_widens_and_a_small_one_changes_nothing() {
        let wide = Tolerance::of(19.74, 4, Some(0.23));
        assert!((wide.half_width - 0.05).abs() < 1e-12);
        assert_eq!(wide.from, ToleranceFrom::Uncertainty);
        let narrow = Tolerance::of(19.74, 3, Some(0.002));
        assert_eq!(narrow.from, ToleranceFrom::SignificantFigures);
        assert!(
            narrow.holds(19.7, 19.74)
                && !narrow.holds(19.8, 19.74)
                && narrow.nearly_holds(19.3, 19.74)
        );
    }

    /// To two figures 1.04 is 1.0 within 0.05; ten times that would be half of the value.
    #[test]
    fn near_is_never_far() {
        let tolerance = Tolerance::of(1.04, 2, None);
        assert!(tolerance.nearly_holds(1.07, 1.04) && !tolerance.nearly_holds(1.08, 1.04));
        let tolerance = Tolerance::of(9.87, 3, None);
        assert!(tolerance.nearly_holds(9.91, 9.87) && !tolerance.nearly_holds(9.93, 9.87));
    }

    #[test]
    fn a_value_between_two_roundings_stands_on_the_edge() {
        for (value, figures, expected) in [
            (24.65, 3, true),
            (24.657, 3, true),
            (24.66, 3, false),
            (24.6, 3, false),
            (-0.0345, 2, true),
            (0.0345, 3, false),
            (9.96, 2, false),
        ] {
            assert_eq!(is_on_the_edge(value, figures), expected, "{value}");
        }
    }

    #[test]
    fn a_rounded_value_has_its_figures_and_no_more() {
        for (value, figures, expected) in [
            (5.642_64, 3, "5.64"),
            (59_462.04, 3, "59500"),
            (0.034_641, 2, "0.035"),
            (9.996, 3, "10.0"),
            (312.007_25, 3, "312"),
            (-0.061_2, 2, "−0.061"),
            (0.999_6, 3, "1.00"),
        ] {
            assert_eq!(to_figures(value, figures), expected);
        }
    }
}
