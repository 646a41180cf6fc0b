//! The wetting front on its way through one cell.

use super::bed::Bed;
use super::flow::flux_with_growth;
use super::profile::Segment;
use crate::maths::error::MathsError;

/// Longest sub-step of the front, s.
const LONGEST_SUBSTEP_S: f64 = 0.25;
/// What is left of a cell or a step below this share of it counts as nothing.
const NOTHING: f64 = 1e-12;

/// The front in its cell at the start of a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Start {
    pub(super) time_s: f64,
    /// Longest the step may take, s; the line of the profile holds throughout.
    pub(super) longest_s: f64,
    /// Depth of a cell, m.
    pub(super) cell_m: f64,
    /// Wet share of the cell.
    pub(super) fill: f64,
    /// Resistance of the full cells above, Pa s m.
    pub(super) resistance: f64,
    /// Its rate of change relative to itself, 1/s.
    pub(super) rate_per_s: f64,
    /// Viscosity over relative permeability in the front's cell, Pa s.
    pub(super) resistivity: f64,
    /// A flux to start from, m/s; zero for none.
    pub(super) guess: f64,
}

/// Where the front is when the cell is full or the time is up.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crossing {
    pub(super) step_s: f64,
    /// Wet share of the cell; exactly one when the front is through.
    pub(super) fill: f64,
    /// Mean time since wetting of what was wetted, s.
    pub(super) contact_s: f64,
}

impl Start {
    /// Resistance of the full cells, carried on from the start at the rate it last changed.
    fn resistance_after(&self, elapsed_s: f64) -> f64 {
        self.resistance * libm::exp(self.rate_per_s * elapsed_s)
    }
}

/// Moves the front by `ds/dt = q/eps_w` until its cell is full or the time is up.
///
/// Implicit midpoint rule, which is exact for a rigid bed at constant pressure: the flux is
/// that at half time and half way. Second order, sub-steps of a quarter of a second at most.
///
/// # Errors
/// [`MathsError::NotConverged`] when a flux cannot be found.
pub(super) fn cross(bed: &Bed, segment: &Segment, start: &Start) -> Result<Crossing, MathsError> {
    if let Some(crossing) = cross_at_once(bed, segment, start)? {
        return Ok(crossing);
    }
    let (mut elapsed, mut fill, mut wet_time) = (0.0, start.fill, 0.0);
    while start.longest_s - elapsed > NOTHING * start.longest_s {
        let substep = (start.longest_s - elapsed).min(LONGEST_SUBSTEP_S);
        let middle = elapsed + 0.5 * substep;
        let above = start.resistance_after(middle) + start.resistivity * fill * start.cell_m;
        let growth = 0.5 * start.resistivity * substep / bed.wetting;
        let pressure = segment.pressure_pa(start.time_s + middle);
        let q = flux_with_growth(bed, pressure, [above, growth], start.guess)?;
        let moved = q * substep / (bed.wetting * start.cell_m);
        if fill + moved >= 1.0 - NOTHING {
            let last = last_substep(bed, segment, start, (elapsed, fill), substep)?;
            wet_time += last * (0.5 * (fill + 1.0) - start.fill);
            return Ok(Crossing {
                step_s: elapsed + last,
                fill: 1.0,
                contact_s: wet_time / (1.0 - start.fill),
            });
        }
        wet_time += substep * (fill + 0.5 * moved - start.fill);
        fill += moved;
        elapsed += substep;
    }
    let wetted = fill - start.fill;
    Ok(Crossing {
        step_s: start.longest_s,
        fill,
        contact_s: if wetted > 0.0 { wet_time / wetted } else { 0.0 },
    })
}

/// The usual case: constant pressure, and a guess that says the cell fills in one sub-step.
/// The flux half way, with the resistance at half the time that the guess foretells, gives the
/// time itself.
fn cross_at_once(
    bed: &Bed,
    segment: &Segment,
    start: &Start,
) -> Result<Option<Crossing>, MathsError> {
    let goal = bed.wetting * (1.0 - start.fill) * start.cell_m;
    let foretold = goal / start.guess;
    let longest_s = start.longest_s.min(LONGEST_SUBSTEP_S);
    if !segment.is_level() || foretold.is_nan() || foretold > longest_s {
        return Ok(None);
    }
    let half_way = start.resistivity * 0.5 * (start.fill + 1.0) * start.cell_m;
    let resistance = start.resistance_after(0.5 * foretold) + half_way;
    let pressure = segment.pressure_pa(start.time_s);
    let q = flux_with_growth(bed, pressure, [resistance, 0.0], start.guess)?;
    let step_s = goal / q;
    Ok((step_s <= longest_s).then_some(Crossing {
        step_s,
        fill: 1.0,
        contact_s: 0.5 * step_s,
    }))
}

/// Time in which the front crosses the rest of its cell, by the secant method kept between
/// nothing and the sub-step that was enough. One step when the pressure is constant.
fn last_substep(
    bed: &Bed,
    segment: &Segment,
    start: &Start,
    (elapsed, fill): (f64, f64),
    enough: f64,
) -> Result<f64, MathsError> {
    const ITERATIONS: u32 = 60;
    let half_way = start.resistivity * 0.5 * (fill + 1.0) * start.cell_m;
    let goal = bed.wetting * (1.0 - fill) * start.cell_m;
    let excess = |substep: f64| {
        let middle = elapsed + 0.5 * substep;
        let resistance = start.resistance_after(middle) + half_way;
        let pressure = segment.pressure_pa(start.time_s + middle);
        flux_with_growth(bed, pressure, [resistance, 0.0], start.guess).map(|q| q * substep - goal)
    };
    let (mut low, mut high) = ((0.0, -goal), (enough, excess(enough)?));
    let mut side = 0;
    for _ in 0..ITERATIONS {
        if high.1 <= 1e-12 * goal {
            break;
        }
        let guess = high.0 - high.1 * (high.0 - low.0) / (high.1 - low.1);
        let value = excess(guess)?;
        if value.abs() <= 1e-12 * goal {
            return Ok(guess);
        }
        // The end that stays twice has its value halved, or it would stay for ever (Illinois).
        if value > 0.0 {
            high = (guess, value);
            low.1 *= if side == 1 { 0.5 } else { 1.0 };
            side = 1;
        } else {
            low = (guess, value);
            high.1 *= if side == -1 { 0.5 } else { 1.0 };
            side = -1;
        }
    }
    Ok(high.0)
}
