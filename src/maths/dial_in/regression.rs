//! Regression on the dial alone: shots that differ only in grind, on a line.

use super::fit::{DISSOLVED, TIME_S};
use super::prediction::{Interval, is_alike};
use super::shot::{PulledShot, Recipe};
use crate::maths::error::MathsError;
use crate::maths::uncertainty::{DegreesOfFreedom, normal, student};

/// Shots that a line needs, so that something is left to tell the scatter from.
const FEWEST: usize = 3;

/// Logarithm of the shot time, and strength, as straight lines over the setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regression {
    /// Logarithm of the time in s.
    pub ln_time: Line,
    /// Dissolved solids over beverage; only where enough strengths were read.
    pub dissolved_fraction: Option<Line>,
    /// How many shots the line of the time rests on.
    pub shots: usize,
}

/// A least-squares line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Mean of the settings.
    pub mean_setting: f64,
    /// Mean of the values, which is the value there.
    pub mean_value: f64,
    /// Rise of the value with the setting.
    pub slope: f64,
    /// Sum of the squares of the settings around their mean.
    pub sum_of_squares: f64,
    /// Variance of the values around the line.
    pub variance: f64,
    /// How many values there are.
    pub count: f64,
    /// Standard uncertainty of reading one value.
    pub reading: f64,
}

impl Regression {
    /// The lines through those shots that differ from a recipe in nothing but the grind; none
    /// for fewer than three, or for one setting alone.
    #[must_use]
    pub fn of(shots: &[PulledShot], recipe: &Recipe) -> Option<Self> {
        let alike = || shots.iter().filter(|shot| is_alike(&shot.recipe, recipe));
        let times: Vec<_> = alike()
            .map(|shot| (shot.recipe.setting, libm::log(shot.shot_time_s)))
            .collect();
        let strengths: Vec<_> = alike()
            .filter_map(|shot| Some((shot.recipe.setting, shot.dissolved_fraction?)))
            .collect();
        let ln_time = Line::through(&times, 0.0)?;
        Some(Self {
            ln_time: Line {
                reading: TIME_S / libm::exp(ln_time.mean_value),
                ..ln_time
            },
            dissolved_fraction: Line::through(&strengths, DISSOLVED),
            shots: times.len(),
        })
    }

    /// Shot time at a setting.
    ///
    /// # Errors
    /// What [`Line::interval`] finds wrong.
    pub fn shot_time_s(&self, setting: f64, coverage: f64) -> Result<Interval, MathsError> {
        let ln = self.ln_time.interval(setting, coverage)?;
        Ok(Interval {
            value: libm::exp(ln.value),
            low: libm::exp(ln.low),
            // a scatter of three shots that nothing is known of can be without end
            high: libm::exp(ln.high.min(700.0)),
        })
    }
}

impl Line {
    fn through(points: &[(f64, f64)], reading: f64) -> Option<Self> {
        if points.len() < FEWEST {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "at most 50 shots")]
        let count = points.len() as f64;
        let mean = |of: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
        let (x0, y0) = (mean(&|p| p.0), mean(&|p| p.1));
        let sum = |of: &dyn Fn(f64, f64) -> f64| {
            points.iter().map(|(x, y)| of(x - x0, y - y0)).sum::<f64>()
        };
        let sum_of_squares = sum(&|x, _| x * x);
        if sum_of_squares <= f64::EPSILON * (1.0 + x0 * x0) {
            return None;
        }
        let slope = sum(&|x, y| x * y) / sum_of_squares;
        let around = sum(&|x, y| (y - slope * x) * (y - slope * x));
        Some(Self {
            mean_setting: x0,
            mean_value: y0,
            slope,
            sum_of_squares,
            variance: around / (count - 2.0),
            count,
            reading,
        })
    }

    /// The value at a setting.
    #[must_use]
    pub fn at(&self, setting: f64) -> f64 {
        self.mean_value + self.slope * (setting - self.mean_setting)
    }

    /// The setting of a value; none for a level line.
    #[must_use]
    pub fn setting(&self, value: f64) -> Option<f64> {
        let setting = self.mean_setting + (value - self.mean_value) / self.slope;
        setting.is_finite().then_some(setting)
    }

    /// The value at a setting and the interval that holds the next reading of it: by Student's t
    /// and the scatter around the line, and never narrower than reading alone makes it, since
    /// three shots may lie on a line by chance.
    ///
    /// # Errors
    /// What [`student::two_sided_quantile`] finds wrong.
    pub fn interval(&self, setting: f64, coverage: f64) -> Result<Interval, MathsError> {
        let aside = setting - self.mean_setting;
        let share = 1.0 + 1.0 / self.count + aside * aside / self.sum_of_squares;
        let half = self.half_width(coverage)? * libm::sqrt(share);
        let value = self.at(setting);
        Ok(Interval {
            value,
            low: value - half,
            high: value + half,
        })
    }

    /// Whether the line rises or falls by more than its scatter explains.
    ///
    /// # Errors
    /// What [`student::two_sided_quantile`] finds wrong.
    pub fn is_sloped(&self, coverage: f64) -> Result<bool, MathsError> {
        let uncertain = self.half_width(coverage)? / libm::sqrt(self.sum_of_squares);
        Ok(self.slope.abs() > uncertain)
    }

    /// Half the interval of one value around the line, were the line known.
    fn half_width(&self, coverage: f64) -> Result<f64, MathsError> {
        let freedom = DegreesOfFreedom::finite(self.count - 2.0)?;
        let scatter = student::two_sided_quantile(coverage, freedom)? * libm::sqrt(self.variance);
        Ok(scatter.max(normal::two_sided_quantile(coverage)? * self.reading))
    }
}
