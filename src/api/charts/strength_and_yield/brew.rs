//! A brew as it stands on the chart, out of its answer.

use crate::api::calculations::extraction_yield::ExtractionVerdict;
use crate::api::calculations::extraction_yield::ExtractionYieldResponse;
use crate::api::calculations::extraction_yield::StrengthVerdict;
use crate::api::calculations::extraction_yield::YieldInput;
use crate::api::calculations::extraction_yield::YieldUncertainty;
use crate::api::picture::number::fixed;

/// A brew on the chart.
#[derive(Debug)]
pub(super) struct Brew {
    pub(super) label: String,
    pub(super) chart: String,
    pub(super) yield_percent: f64,
    pub(super) tds_percent: f64,
    pub(super) is_within: bool,
    pub(super) spread: Option<Spread>,
}

impl Brew {
    pub(super) fn new(label: String, answer: &ExtractionYieldResponse) -> Self {
        let place = &answer.assessment;
        let id = serde_json::to_value(place.chart).unwrap_or_default();
        Self {
            label,
            chart: id.as_str().unwrap_or_default().to_owned(),
            yield_percent: answer.extraction_yield_percent,
            tds_percent: answer.tds_percent,
            is_within: place.strength == StrengthVerdict::Within
                && place.extraction == ExtractionVerdict::Within,
            spread: answer.uncertainty.as_ref().map(Spread::new),
        }
    }

    /// How far the ellipse reaches from the point, in yield and in strength.
    pub(super) fn reach(&self) -> (f64, f64) {
        self.spread.as_ref().map_or((0.0, 0.0), |spread| {
            let reach = |variance: f64| spread.factor() * libm::sqrt(variance);
            (reach(spread.yield_variance), reach(spread.tds_variance))
        })
    }

    /// Yield and strength in words.
    pub(super) fn numbers(&self) -> String {
        // strengths of filter coffee differ in the second decimal
        let decimals = if self.tds_percent < 3.0 { 2 } else { 1 };
        format!(
            "Yield {} %, strength {} %",
            fixed(self.yield_percent, 1),
            fixed(self.tds_percent, decimals)
        )
    }

    /// The same after the label.
    pub(super) fn sentence(&self) -> String {
        if self.label.is_empty() {
            self.numbers()
        } else {
            format!("{}: {}", self.label, self.numbers())
        }
    }
}

/// How far strength and yield may be off, together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spread {
    yield_variance: f64,
    tds_variance: f64,
    covariance: f64,
    pub(super) coverage: f64,
}

impl Spread {
    /// What the budget says: the strength's own lines make its variance, and the yield follows
    /// the strength by their sensitivity.
    fn new(uncertainty: &YieldUncertainty) -> Self {
        let of_strength = uncertainty.budget.iter().filter(|line| {
            matches!(
                line.input,
                YieldInput::TdsRepeatability | YieldInput::TdsCalibration
            )
        });
        let (mut tds_variance, mut covariance) = (0.0, 0.0);
        for line in of_strength {
            let variance = line.standard_uncertainty * line.standard_uncertainty;
            tds_variance += variance;
            covariance += line.sensitivity * variance;
        }
        Self {
            yield_variance: uncertainty.standard_points * uncertainty.standard_points,
            tds_variance,
            covariance,
            coverage: uncertainty.coverage_probability,
        }
    }

    /// How many standard deviations the ellipse covers.
    ///
    /// A normal pair is inside the ellipse of factor k with the probability 1 − exp(−k²/2).
    fn factor(&self) -> f64 {
        libm::sqrt(-2.0 * libm::log(1.0 - self.coverage))
    }

    /// The half axes on the sheet, the longer first, and the angle of the longer in degrees.
    pub(super) fn ellipse(&self, (x, y): (f64, f64)) -> ((f64, f64), f64) {
        let (xx, xy, yy) = (
            self.yield_variance * x * x,
            self.covariance * x * y,
            self.tds_variance * y * y,
        );
        let factor = self.factor();
        let (middle, half) = (f64::midpoint(xx, yy), (xx - yy) / 2.0);
        let apart = libm::hypot(half, xy);
        let axis = |variance: f64| (factor * libm::sqrt(variance.max(0.0))).max(THINNEST);
        let degrees = libm::atan2(xy, half).to_degrees() / 2.0;
        ((axis(middle + apart), axis(middle - apart)), degrees)
    }
}

/// Half axis of an ellipse that is a line: one without width would not be drawn at all.
const THINNEST: f64 = 0.4;

#[cfg(test)]
mod tests {
    use super::Spread;

    /// Uncorrelated, 2 by 1: the axes are those of the sheet; k = 2.4477 at 0.95, from the
    /// chi-squared table with two degrees of freedom (5.991), from memory.
    #[test]
    fn an_uncorrelated_ellipse_lies_along_the_axes() {
        let spread = Spread {
            yield_variance: 4.0,
            tds_variance: 1.0,
            covariance: 0.0,
            coverage: 0.95,
        };
        let ((a, b), degrees) = spread.ellipse((1.0, -1.0));
        assert!((a - 2.0 * 2.4477).abs() < 1e-3 && (b - 2.4477).abs() < 1e-3);
        assert!(degrees.abs() < 1e-9);
    }

    /// Wholly correlated: a line, rising to the right on a sheet whose y runs downwards.
    #[test]
    fn a_correlated_ellipse_is_a_rising_line() {
        let spread = Spread {
            yield_variance: 1.0,
            tds_variance: 1.0,
            covariance: 1.0,
            coverage: 0.95,
        };
        let ((a, b), degrees) = spread.ellipse((1.0, -1.0));
        assert!(a > 3.0 && b < 0.5);
        assert!((degrees + 45.0).abs() < 1e-9, "{degrees}");
    }
}
