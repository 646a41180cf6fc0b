//! Balance of the solute in the liquid over one step: flow, dispersion and exchange, half at
//! the old and half at the new time (second order), as one tridiagonal system.
//!
//! Inner faces carry `c - alpha dc/dz` with central differences. Nothing enters with the clean
//! water at the top; at the outlet and at the front the concentration has no slope.

/// Capacities of a full cell in the balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Balance {
    /// Volume through every face, per area and cell depth.
    pub(super) volume: f64,
    /// Factor of the old concentration.
    pub(super) before: f64,
    /// Factor of the new concentration.
    pub(super) after: f64,
}

/// The cell that the front is in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Partial {
    /// Wet share before and after the step.
    pub(super) fill_before: f64,
    pub(super) fill: f64,
    /// Factors of its old and new concentration.
    pub(super) before: f64,
    pub(super) after: f64,
    /// What newly wetted grains give up by themselves, kg/m³ of bed.
    pub(super) gained: f64,
}

/// How much of the cells on both sides a face carries: `above c + below c'`.
#[derive(Debug, Clone, Copy)]
struct Face {
    above: f64,
    below: f64,
}

/// The tridiagonal system and its workspace.
#[derive(Debug)]
pub(super) struct Liquid {
    /// Right-hand side; set to what the grains release before [`Liquid::solve`].
    pub(super) source: Vec<f64>,
    /// Inverse pivots.
    inverse: Vec<f64>,
    /// Dispersion length over cell depth.
    dispersion: f64,
}

impl Liquid {
    pub(super) fn new(cells: usize, dispersion: f64) -> Self {
        Self {
            source: vec![0.0; cells],
            inverse: vec![0.0; cells],
            dispersion,
        }
    }

    /// New concentrations from old ones; the last row is the front's cell if there is one.
    pub(super) fn solve(
        &mut self,
        balance: Balance,
        partial: Option<&Partial>,
        old: &[f64],
        new: &mut [f64],
    ) {
        let half = 0.5 * balance.volume;
        let inner = Face {
            above: 0.5 + self.dispersion,
            below: 0.5 - self.dispersion,
        };
        let full = old.len() - usize::from(partial.is_some());
        self.explicit(balance, inner, &old[..full]);
        let mut rows = Rows {
            lower: -half * inner.above,
            upper: half * inner.below,
            first: balance.after + half * inner.above,
            middle: balance.after + half * (inner.above - inner.below),
            last_lower: -half * inner.above,
            last: balance.after - if full > 1 { half * inner.below } else { 0.0 },
            front: None,
        };
        if let Some(partial) = partial {
            self.front(&mut rows, half, partial, old);
        } else {
            rows.last += half * OUTLET.below;
            rows.last_lower += half * OUTLET.above;
            let out = OUTLET.below * old[full - 1] + OUTLET.above * old[full - 2];
            self.source[full - 1] -= half * out;
        }
        self.eliminate(&rows, full, new);
    }

    /// Old-time part of all rows, except for the lower face of the last full cell.
    fn explicit(&mut self, balance: Balance, face: Face, old: &[f64]) {
        let Some(last) = old.len().checked_sub(1) else {
            return;
        };
        let half = 0.5 * balance.volume;
        let (above, below) = (half * face.above, half * face.below);
        let middle = balance.before + below - above;
        if last == 0 {
            self.source[0] += balance.before * old[0];
            return;
        }
        self.source[0] += (balance.before - above) * old[0] - below * old[1];
        let inner = self.source[1..last].iter_mut();
        for (side, c) in inner.zip(old.windows(3)) {
            *side += above * c[0] + middle * c[1] - below * c[2];
        }
        self.source[last] += above * old[last - 1] + (balance.before + below) * old[last];
    }

    /// Rows on both sides of the face between the last full cell and the front's cell.
    fn front(&mut self, rows: &mut Rows, half: f64, partial: &Partial, old: &[f64]) {
        let full = old.len() - 1;
        self.source[full] =
            partial.gained + partial.before * old[full] + partial.fill_before * self.source[full];
        let mut front = Front {
            lower: 0.0,
            upper: 0.0,
            diagonal: partial.after,
        };
        if full > 0 {
            let face = self.face(partial.fill);
            rows.last += half * face.above;
            front.upper = half * face.below;
            front.lower = -half * face.above;
            front.diagonal -= half * face.below;
            let carried = half * self.carried_before(partial, old);
            self.source[full - 1] -= carried;
            self.source[full] += carried;
        }
        rows.front = Some(front);
    }

    /// The face above a cell of which only a part is wet: interpolated between the two middles.
    fn face(&self, fill: f64) -> Face {
        Face {
            above: (fill + 2.0 * self.dispersion) / (1.0 + fill),
            below: (1.0 - 2.0 * self.dispersion) / (1.0 + fill),
        }
    }

    /// What the face carried at the old time. While the front stood on it, the concentration had
    /// no slope there.
    fn carried_before(&self, partial: &Partial, old: &[f64]) -> f64 {
        let full = old.len() - 1;
        if partial.fill_before > 0.0 {
            let face = self.face(partial.fill_before);
            face.above * old[full - 1] + face.below * old[full]
        } else if full > 1 {
            OUTLET.below * old[full - 1] + OUTLET.above * old[full - 2]
        } else {
            old[full - 1]
        }
    }

    /// Elimination without pivoting; the matrix is dominated by its diagonal.
    fn eliminate(&mut self, rows: &Rows, full: usize, new: &mut [f64]) {
        let (mut below, mut upper) = (0.0, 0.0);
        let factor = if full > 0 {
            self.forward(rows, full)
        } else {
            0.0
        };
        if let Some(front) = rows.front {
            let (mut side, mut diagonal) = (self.source[full], front.diagonal);
            if full > 0 {
                side -= front.lower * factor * self.source[full - 1];
                diagonal -= front.lower * factor * front.upper;
            }
            below = side / diagonal;
            new[full] = below;
            upper = front.upper;
        }
        let inner = new[..full]
            .iter_mut()
            .zip(&self.source[..full])
            .zip(&self.inverse[..full]);
        for ((value, side), inverse) in inner.rev() {
            below = side * inverse - upper * inverse * below;
            *value = below;
            upper = rows.upper;
        }
    }

    /// Forward part over the full cells; returns the last inverse pivot. All inner rows are
    /// alike, so the pivots soon repeat and need no further division.
    fn forward(&mut self, rows: &Rows, full: usize) -> f64 {
        let (source, inverse) = (&mut self.source[..full], &mut self.inverse[..full]);
        if full == 1 {
            inverse[0] = 1.0 / rows.last;
            return inverse[0];
        }
        let mut pivot = 1.0 / rows.first;
        let mut side = source[0];
        inverse[0] = pivot;
        let mut steady = full - 1;
        for i in 1..full - 1 {
            let factor = rows.lower * pivot;
            side = source[i] - factor * side;
            source[i] = side;
            let next = 1.0 / (rows.middle - factor * rows.upper);
            let change = (next - pivot).abs();
            pivot = next;
            inverse[i] = pivot;
            if change <= f64::EPSILON * pivot {
                steady = i + 1;
                break;
            }
        }
        let factor = rows.lower * pivot;
        for value in &mut source[steady..full - 1] {
            side = *value - factor * side;
            *value = side;
        }
        inverse[steady..full - 1].fill(pivot);
        let factor = rows.last_lower * pivot;
        source[full - 1] -= factor * side;
        inverse[full - 1] = 1.0 / (rows.last - factor * rows.upper);
        inverse[full - 1]
    }
}

/// Outlet value from the last cell (`below`) and the one before it (`above`): a parabola with
/// no slope at the outlet.
const OUTLET: Face = Face {
    above: -0.125,
    below: 1.125,
};

/// The row of the front's cell, and the entry above it.
#[derive(Debug, Clone, Copy)]
struct Front {
    lower: f64,
    upper: f64,
    diagonal: f64,
}

/// Entries of the matrix. Rows between the first and the last full cell are alike.
#[derive(Debug, Clone, Copy)]
struct Rows {
    lower: f64,
    upper: f64,
    first: f64,
    middle: f64,
    last_lower: f64,
    last: f64,
    front: Option<Front>,
}
