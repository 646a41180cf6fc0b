//! Balance of the solute in the liquid over one step: flow, dispersion and exchange, half at
//! the old and half at the new time (second order), as one tridiagonal system. Where that would
//! overshoot, as in the first step after a pause, all at the new time and with dispersion over
//! half a cell at least (first order, never negative).
//!
//! Inner faces carry `c - alpha dc/dz` with central differences. Nothing enters with the clean
//! water at the top; at the outlet and at the front the concentration has no slope.

/// Capacities of a full cell in the balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Balance {
    /// Volume through every face, per area and cell depth, that carries the old concentrations.
    pub(super) carries_old: f64,
    /// The rest, which carries the new ones.
    pub(super) carries_new: f64,
    /// Dispersion length over cell depth.
    pub(super) dispersion: f64,
    /// Factor of the old concentration.
    pub(super) before: f64,
    /// Factor of the new concentration.
    pub(super) after: f64,
}

impl Balance {
    /// A face between two cells.
    fn inner(&self) -> Face {
        self.above_cell(1.0)
    }

    /// The face above a cell of which only a part is wet: interpolated between the two middles.
    fn above_cell(&self, fill: f64) -> Face {
        Face {
            above: (fill + 2.0 * self.dispersion) / (1.0 + fill),
            below: (1.0 - 2.0 * self.dispersion) / (1.0 + fill),
        }
    }

    /// What the face above the front's cell carried at the old time. While the front stood on
    /// it, the concentration had no slope there.
    fn carried_before(&self, partial: &Partial, old: &[f64]) -> f64 {
        let full = old.len() - 1;
        let concentration = if partial.fill_before > 0.0 {
            let face = self.above_cell(partial.fill_before);
            face.above * old[full - 1] + face.below * old[full]
        } else if full > 1 {
            outlet(&old[..full])
        } else {
            old[full - 1]
        };
        self.carries_old * concentration
    }
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
}

impl Liquid {
    pub(super) fn new(cells: usize) -> Self {
        Self {
            source: vec![0.0; cells],
            inverse: vec![0.0; cells],
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
        let flow = balance.carries_new;
        let inner = balance.inner();
        let full = old.len() - usize::from(partial.is_some());
        self.explicit(balance, &old[..full]);
        let mut rows = Rows {
            lower: -flow * inner.above,
            upper: flow * inner.below,
            first: balance.after + flow * inner.above,
            middle: balance.after + flow * (inner.above - inner.below),
            last_lower: -flow * inner.above,
            last: balance.after - if full > 1 { flow * inner.below } else { 0.0 },
            front: None,
        };
        if let Some(partial) = partial {
            self.front(&mut rows, balance, partial, old);
        } else {
            rows.last += flow * OUTLET.below;
            rows.last_lower += flow * OUTLET.above;
            self.source[full - 1] -= balance.carries_old * outlet(old);
        }
        self.eliminate(&rows, full, new);
    }

    /// Old-time part of all rows, except for the lower face of the last full cell.
    fn explicit(&mut self, balance: Balance, old: &[f64]) {
        let Some(last) = old.len().checked_sub(1) else {
            return;
        };
        let (flow, face) = (balance.carries_old, balance.inner());
        let (above, below) = (flow * face.above, flow * face.below);
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
    fn front(&mut self, rows: &mut Rows, balance: Balance, partial: &Partial, old: &[f64]) {
        let full = old.len() - 1;
        self.source[full] =
            partial.gained + partial.before * old[full] + partial.fill_before * self.source[full];
        let mut front = Front {
            lower: 0.0,
            upper: 0.0,
            diagonal: partial.after,
        };
        if full > 0 {
            let (face, flow) = (balance.above_cell(partial.fill), balance.carries_new);
            rows.last += flow * face.above;
            front.upper = flow * face.below;
            front.lower = -flow * face.above;
            front.diagonal -= flow * face.below;
            let carried = balance.carried_before(partial, old);
            self.source[full - 1] -= carried;
            self.source[full] += carried;
        }
        rows.front = Some(front);
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

/// Concentration where the liquid leaves a column of at least two cells.
pub(super) fn outlet(liquid: &[f64]) -> f64 {
    let last = liquid.len() - 1;
    OUTLET.below * liquid[last] + OUTLET.above * liquid[last - 1]
}

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
