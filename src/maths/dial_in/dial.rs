//! The dial of a grinder: its direction, its steps, and its ends.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// What a higher number on the dial does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HigherIs {
    /// It grinds coarser.
    Coarser,
    /// It grinds finer.
    Finer,
}

impl HigherIs {
    /// One towards coarser, minus one towards finer.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Coarser => 1.0,
            Self::Finer => -1.0,
        }
    }
}

/// A grinder's dial; its steps are counted from zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// What a higher number does.
    pub higher_is: HigherIs,
    /// Difference of two neighbouring settings; inside [`Dial::STEP`].
    pub smallest_step: f64,
    /// What its maker says a step is, µm; inside [`Dial::STEP_SIZE`].
    pub micrometres_per_step: Option<f64>,
    /// Lowest setting there is.
    pub lowest: Option<f64>,
    /// Highest setting there is.
    pub highest: Option<f64>,
}

impl Dial {
    /// What a dial can show.
    pub const SETTING: Range = Range::new("grind setting", -10_000.0, 10_000.0, "1");
    /// Difference of two neighbouring settings.
    pub const STEP: Range = Range::new("smallest step of the dial", 0.001, 100.0, "1");
    /// Grind that a step can be.
    pub const STEP_SIZE: Range = Range::new("grind of one step", 0.1, 200.0, "µm");

    /// Whether every number is in range and the ends are not crossed.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`], [`MathsError::NonFinite`], or [`MathsError::Inconsistent`] for
    /// a lowest setting that is not below the highest.
    pub fn check(&self) -> Result<(), MathsError> {
        Self::STEP.check(self.smallest_step)?;
        if let Some(size) = self.micrometres_per_step {
            Self::STEP_SIZE.check(size)?;
        }
        for end in [self.lowest, self.highest].into_iter().flatten() {
            Self::SETTING.check(end)?;
        }
        match (self.lowest, self.highest) {
            (Some(left), Some(right)) if left >= right => Err(MathsError::Inconsistent {
                rule: "the lowest setting is below the highest",
                left,
                right,
                unit: "1",
            }),
            _ => Ok(()),
        }
    }

    /// The settings on a step around a setting: the last one not above it, and the one after.
    #[must_use]
    pub fn steps_around(&self, setting: f64) -> [f64; 2] {
        // a setting that is on a step but for rounding is on it
        let count = libm::floor(setting / self.smallest_step + 1e-6);
        [self.step(count), self.step(count + 1.0)]
    }

    /// The setting on a step that is nearest, inside the ends of the dial.
    #[must_use]
    pub fn nearest_step(&self, setting: f64) -> f64 {
        let inside = self.inside(setting);
        let nearest = self.step(libm::round(inside / self.smallest_step));
        // an end that is no step would be passed by rounding
        let shift = match nearest {
            beyond if self.lowest.is_some_and(|lowest| beyond < lowest - 1e-9) => 1.0,
            beyond if self.highest.is_some_and(|highest| beyond > highest + 1e-9) => -1.0,
            _ => 0.0,
        };
        self.step(libm::round(inside / self.smallest_step) + shift)
    }

    /// The setting, or the end of the dial that it is beyond.
    #[must_use]
    pub fn inside(&self, setting: f64) -> f64 {
        let above = self.lowest.map_or(setting, |lowest| setting.max(lowest));
        self.highest.map_or(above, |highest| above.min(highest))
    }

    /// A setting by its number of steps, without the rounding of a step that is no binary
    /// fraction: 3 × 0.1 reads 0.3.
    fn step(&self, count: f64) -> f64 {
        const DECIMALS: f64 = 1e9;
        libm::round(count * self.smallest_step * DECIMALS) / DECIMALS
    }
}
