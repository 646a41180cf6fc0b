//! How finely a shot is resolved, and how much work that may be.

use super::bed::Bed;
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// How good the numbers have to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Accuracy {
    /// 60 cells, 5 modes, steps of 0.25 s: extraction within 0.2 % of the exact solution.
    #[default]
    Standard,
    /// 100 cells, 6 modes, steps of 0.1 s: extraction within 0.1 %.
    Fine,
}

/// Cells, diffusion modes and the longest time step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution {
    /// Layers the bed is cut into.
    pub cells: u32,
    /// Diffusion modes of the coarse grains.
    pub modes: u32,
    /// Longest time step once the bed is wet, s.
    pub step_s: f64,
}

impl Resolution {
    /// Layers of the bed.
    pub const CELLS: Range = Range::new("number of cells", 4.0, 800.0, "1");
    /// Diffusion modes.
    pub const MODES: Range = Range::new("number of modes", 2.0, 12.0, "1");
    /// Longest time step.
    pub const STEP: Range = Range::new("time step", 0.005, 2.0, "s");
    /// The most cells that [`Accuracy`] chooses of itself.
    const MOST_CELLS_CHOSEN: f64 = 400.0;

    /// Whether the three numbers are in range.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] when one is not.
    pub fn check(&self) -> Result<(), MathsError> {
        Self::CELLS.check(f64::from(self.cells))?;
        Self::MODES.check(f64::from(self.modes))?;
        Self::STEP.check(self.step_s)?;
        Ok(())
    }
}

impl Accuracy {
    /// The resolution for this bed. Deep beds of fine grains get more cells: central
    /// differences keep a profile free of wiggles while a cell is at most twice the
    /// dispersivity.
    #[must_use]
    pub fn resolution(self, bed: &Bed) -> Resolution {
        let (cells, modes, step_s) = match self {
            Self::Standard => (60.0, 5, 0.25),
            Self::Fine => (100.0, 6, 0.1),
        };
        let smooth = (bed.depth_m / (2.0 * bed.dispersivity_m)).ceil();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 60 and 400"
        )]
        let cells = smooth.clamp(cells, Resolution::MOST_CELLS_CHOSEN) as u32;
        Resolution {
            cells,
            modes,
            step_s,
        }
    }
}

/// Work of one run, in cell-steps: one cell carried over one time step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Work {
    pub(super) done: u64,
}

impl Work {
    /// About a hundred milliseconds on one core; the longest standard shot takes a tenth.
    pub(super) const LIMIT: u64 = 5_000_000;

    /// Books the work of one step.
    pub(super) fn book(&mut self, cells: usize) -> Result<(), MathsError> {
        self.done = self
            .done
            .saturating_add(u64::try_from(cells).unwrap_or(u64::MAX));
        if self.done <= Self::LIMIT {
            return Ok(());
        }
        Err(MathsError::WorkLimit {
            asked: self.done,
            allowed: Self::LIMIT,
        })
    }
}
