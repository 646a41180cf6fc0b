//! What still comes into the cup once the pump has stopped: a straight line in the flow, learned
//! from earlier shots of the machine and held to what is usual.

use crate::maths::range::Range;

/// One earlier shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drained {
    /// Flow into the cup when the pump stopped, g/s.
    pub flow_at_stop_g_per_s: f64,
    /// What came into the cup from then on, g.
    pub after_stop_g: f64,
}

impl Drained {
    /// Flows at the stop that a shot can have.
    pub const FLOW: Range = Range::new("flow at the stop", 0.0, 20.0, "g/s");
    /// Masses after the stop that a shot can have.
    pub const AFTER_STOP: Range = Range::new("mass after the stop", 0.0, 100.0, "g");
}

/// Usual part of the drain that does not depend on the flow, g. Assumed, no source.
pub const USUAL_BASE_G: f64 = 0.8;
/// Usual part of the drain for each g/s of flow, s. Assumed, no source.
pub const USUAL_PER_FLOW_S: f64 = 0.6;
/// How far the base of a machine may be from the usual one, g. Assumed, no source.
pub const BASE_SPREAD_G: f64 = 0.3;
/// How far a machine's seconds of flow may be from the usual ones, s. Assumed, no source.
pub const PER_FLOW_SPREAD_S: f64 = 0.25;
/// How far the shots of one machine lie from its line, g. Assumed, no source.
pub const SHOT_SPREAD_G: f64 = 0.15;
/// How many shots the assumed scatter is worth beside the scatter seen.
const SPREAD_WORTH_SHOTS: f64 = 4.0;

/// The drain of a machine, `a + b q`: normal, by mean and covariance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drain {
    /// `a`, g.
    pub base_g: f64,
    /// `b`, s.
    pub per_flow_s: f64,
    /// Variances of `a` and covariance of both, then the variance of `b`: g², g s, s².
    pub covariance: [f64; 3],
    /// Variance of a shot about the line, g².
    pub shot_variance_g2: f64,
}

impl Drain {
    /// Mass still to come at this flow, g.
    #[must_use]
    pub fn mass_g(&self, flow_g_per_s: f64) -> f64 {
        self.base_g + self.per_flow_s * flow_g_per_s
    }

    /// Variance of that mass for the next shot, g².
    #[must_use]
    pub fn variance_g2(&self, flow_g_per_s: f64) -> f64 {
        let [base, both, per_flow] = self.covariance;
        let of_line = base + flow_g_per_s * (2.0 * both + flow_g_per_s * per_flow);
        self.shot_variance_g2 + of_line.max(0.0)
    }
}

/// The drain of a machine, from its earlier shots and what is usual.
///
/// # Equation
/// Least squares of `y - a - b q` over the shots, each over the scatter `s`, together with
/// `((a - a0) / sa)^2 + ((b - b0) / sb)^2`: a ridge whose centre is the usual drain. The scatter
/// is learned too: `s^2 = (n0 s0^2 + sum (y - a - b q)^2) / (n0 + n)`, and the line is fitted
/// once more with it. Neither `a` nor `b` falls below zero.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | y, q | mass after the stop, flow at the stop | g, g/s |
/// | a, b | base, seconds of flow (returned) | g, s |
/// | a0, b0, sa, sb, s0 | what is usual, and its spreads | |
/// | n, n0 | shots, and shots that the assumed scatter is worth | 1 |
///
/// # Source
/// `[hoerl1970]`; the line and everything usual about it are assumptions, `[stop-drain]`.
///
/// # Valid for
/// Shots of one machine, basket and spout, inside [`Drained::FLOW`] and [`Drained::AFTER_STOP`].
/// Without shots it is the usual drain.
///
/// # Example
/// ```
/// # use extraction_maths::maths::stop::{Drained, drain::learned};
/// let shots = [Drained { flow_at_stop_g_per_s: 2.0, after_stop_g: 3.1 }; 40];
/// // many shots outweigh what is usual, which is 2.0 g at this flow
/// assert!((learned(&shots).mass_g(2.0) - 3.1).abs() < 0.05);
/// assert_eq!(learned(&[]).mass_g(2.0), 2.0);
/// ```
#[must_use]
pub fn learned(history: &[Drained]) -> Drain {
    let assumed = SHOT_SPREAD_G * SHOT_SPREAD_G;
    let first = fitted(history, assumed);
    let squares = history.iter().map(|shot| {
        let miss = shot.after_stop_g - first.mass_g(shot.flow_at_stop_g_per_s);
        miss * miss
    });
    let count = history.iter().fold(0.0, |count, _| count + 1.0);
    let scatter =
        (SPREAD_WORTH_SHOTS * assumed + squares.sum::<f64>()) / (SPREAD_WORTH_SHOTS + count);
    not_negative(fitted(history, scatter))
}

/// The line with a scatter that is known. Worked about the usual line, so that no shots change
/// nothing.
fn fitted(history: &[Drained], shot_variance_g2: f64) -> Drain {
    let mut base = 1.0 / (BASE_SPREAD_G * BASE_SPREAD_G);
    let mut both = 0.0;
    let mut per_flow = 1.0 / (PER_FLOW_SPREAD_S * PER_FLOW_SPREAD_S);
    let (mut of_base, mut of_per_flow) = (0.0, 0.0);
    for shot in history {
        let flow = shot.flow_at_stop_g_per_s;
        let more = shot.after_stop_g - USUAL_BASE_G - USUAL_PER_FLOW_S * flow;
        base += 1.0 / shot_variance_g2;
        both += flow / shot_variance_g2;
        per_flow += flow * flow / shot_variance_g2;
        of_base += more / shot_variance_g2;
        of_per_flow += flow * more / shot_variance_g2;
    }
    let determinant = base * per_flow - both * both;
    Drain {
        base_g: USUAL_BASE_G + (per_flow * of_base - both * of_per_flow) / determinant,
        per_flow_s: USUAL_PER_FLOW_S + (base * of_per_flow - both * of_base) / determinant,
        covariance: [
            per_flow / determinant,
            -both / determinant,
            base / determinant,
        ],
        shot_variance_g2,
    }
}

/// The same, held at zero where a part would be below, and the other part as it is then.
fn not_negative(drain: Drain) -> Drain {
    let [base, both, per_flow] = drain.covariance;
    let mut held = drain;
    if drain.per_flow_s < 0.0 {
        held.per_flow_s = 0.0;
        held.base_g = (drain.base_g - both / per_flow * drain.per_flow_s).max(0.0);
    } else if drain.base_g < 0.0 {
        held.base_g = 0.0;
        held.per_flow_s = (drain.per_flow_s - both / base * drain.base_g).max(0.0);
    }
    held
}
