//! The days after the roast in which beans are used.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// First day of use after the roast; common practice. `[freshness-practice]`
pub const START_DAYS: f64 = 5.0;
/// Last day of use after the roast; common practice. `[freshness-practice]`
pub const END_DAYS: f64 = 30.0;
/// Ages for which a window may be asked: ten years.
pub const AGE: Range = Range::new("days", 0.0, 3_650.0, "d");

/// A window from one day after the roast to another, ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    start_days: f64,
    end_days: f64,
}

/// Where an age lies against a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowState {
    /// Before the window.
    Resting,
    /// Inside, ends included.
    Open,
    /// After it.
    Past,
}

impl Window {
    /// A window between two days after the roast.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] outside [`AGE`], [`MathsError::Inconsistent`] when it ends
    /// before it starts.
    pub fn between(start_days: f64, end_days: f64) -> Result<Self, MathsError> {
        AGE.check(start_days)?;
        AGE.check(end_days)?;
        if start_days > end_days {
            return Err(MathsError::Inconsistent {
                rule: "the window starts before it ends",
                left: start_days,
                right: end_days,
                unit: "d",
            });
        }
        Ok(Self {
            start_days,
            end_days,
        })
    }

    /// First day of the window after the roast.
    #[must_use]
    pub const fn start_days(&self) -> f64 {
        self.start_days
    }

    /// Last day of the window after the roast.
    #[must_use]
    pub const fn end_days(&self) -> f64 {
        self.end_days
    }

    /// Where an age lies.
    #[must_use]
    pub const fn state(&self, age_days: f64) -> WindowState {
        if age_days < self.start_days {
            WindowState::Resting
        } else if age_days <= self.end_days {
            WindowState::Open
        } else {
            WindowState::Past
        }
    }

    /// Days from an age to the start of the window; 0 from then on.
    #[must_use]
    pub const fn days_to_start(&self, age_days: f64) -> f64 {
        let days = self.start_days - age_days;
        if days > 0.0 { days } else { 0.0 }
    }

    /// Days from an age to the end of the window; negative after it.
    #[must_use]
    pub const fn days_left(&self, age_days: f64) -> f64 {
        self.end_days - age_days
    }

    /// Days from the first to the last day of the window.
    #[must_use]
    pub const fn length_days(&self) -> f64 {
        self.end_days - self.start_days
    }
}
