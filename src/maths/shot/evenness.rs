//! How evenly a shot ran: a statistic of its flow, and no promise about the bed.

use super::series::Series;
use super::smooth::CupState;

/// Fewest states from which the statistic is told.
const FEWEST: usize = 20;

/// Smallest mean flow, g/s.
const SMALLEST_FLOW: f64 = 0.1;

/// Smallest pressure that a flow is divided by, bar.
const SMALLEST_PRESSURE: f64 = 1.0;

/// How evenly a shot ran.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evenness {
    /// 1 less the variation as a share, not below 0.
    pub evenness: f64,
    /// Root mean square distance of the flow from its own straight line over time, over the
    /// mean flow.
    pub variation: f64,
    /// Whether the flow was divided by the pressure first.
    pub is_per_pressure: bool,
}

impl Evenness {
    /// Of the states between two instants; none where there are too few, or hardly a flow.
    ///
    /// With a pressure, the flow is divided by it first, so that what the pump does is not laid
    /// to the bed.
    #[must_use]
    pub fn of(cup: &[CupState], from_s: f64, to_s: f64, pressure: Option<&Series>) -> Option<Self> {
        let inside = || {
            cup.iter()
                .filter(|s| from_s <= s.time_s && s.time_s <= to_s)
        };
        let per_pressure = pressure.and_then(|pressure| {
            let divided = inside().map(|s| {
                let bar = pressure.at(s.time_s)?;
                (bar >= SMALLEST_PRESSURE).then(|| (s.time_s, s.flow_g_per_s / bar))
            });
            divided.collect::<Option<Vec<_>>>()
        });
        let is_per_pressure = per_pressure.is_some();
        let plain = || inside().map(|s| (s.time_s, s.flow_g_per_s)).collect();
        let points: Vec<(f64, f64)> = per_pressure.unwrap_or_else(plain);
        let count = points.iter().map(|_| 1.0).sum::<f64>();
        let mean_flow = inside().map(|s| s.flow_g_per_s).sum::<f64>() / count;
        if points.len() < FEWEST || mean_flow < SMALLEST_FLOW {
            return None;
        }
        let variation = variation(&points, count)?;
        Some(Self {
            evenness: libm::fmax(0.0, 1.0 - variation),
            variation,
            is_per_pressure,
        })
    }
}

/// Root mean square distance of points from their straight line, over their mean.
fn variation(points: &[(f64, f64)], count: f64) -> Option<f64> {
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (time, flow) = (mean(&|p| p.0), mean(&|p| p.1));
    let spread = mean(&|p| (p.0 - time) * (p.0 - time));
    let slope = mean(&|p| (p.0 - time) * (p.1 - flow)) / spread;
    let off = |p: &(f64, f64)| p.1 - flow - slope * (p.0 - time);
    let variation = libm::sqrt(mean(&|p| off(p) * off(p))) / flow;
    (variation.is_finite() && variation >= 0.0).then_some(variation)
}
