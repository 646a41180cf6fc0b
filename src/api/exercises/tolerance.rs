//! How near an answer must be to the value: by its significant figures, and by the uncertainty
//! of the value where it has one.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Slack for the rounding of the subtraction itself.
const SLACK: f64 = 1.0 + 1e-9;

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

    /// Whether an answer agrees with a value to one figure less.
    #[must_use]
    pub fn nearly_holds(&self, answer: f64, value: f64) -> bool {
        libm::fabs(answer - value) <= 10.0 * self.half_width * SLACK
    }
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
    use super::{Tolerance, ToleranceFrom};

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
}
