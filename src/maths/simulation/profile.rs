//! The pressure over time: piecewise linear, held before its first and after its last point.

use crate::maths::error::MathsError;
use crate::maths::quantity::GaugePressure;
use crate::maths::range::Range;

const PASCALS_PER_BAR: f64 = 1e5;

/// Gauge pressure at the pump as straight lines between points in time.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureProfile {
    /// Time in s and pressure in Pa; at least one, times rising.
    points: Vec<(f64, f64)>,
}

/// The profile between two of its points: a straight line from a start time on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Segment {
    /// Where the line starts, s.
    pub(super) start_s: f64,
    /// Pressure there, Pa.
    pub(super) start_pa: f64,
    /// Slope, Pa/s.
    pub(super) slope_pa_per_s: f64,
    /// Where the line ends, s; infinite for the last.
    pub(super) end_s: f64,
}

impl Segment {
    /// Pressure on the line, Pa; never below zero.
    pub(super) fn pressure_pa(&self, time_s: f64) -> f64 {
        (self.start_pa + self.slope_pa_per_s * (time_s - self.start_s)).max(0.0)
    }

    /// Whether the pressure stays the same.
    pub(super) const fn is_level(&self) -> bool {
        self.slope_pa_per_s == 0.0
    }

    /// Whether the pressure is zero all along.
    pub(super) fn is_zero(&self) -> bool {
        self.start_pa <= 0.0 && self.slope_pa_per_s <= 0.0
    }
}

impl PressureProfile {
    /// Times of the points.
    pub const TIME: Range = Range::new("profile time", 0.0, 600.0, "s");
    /// How many points a profile may have.
    pub const POINTS: Range = Range::new("number of profile points", 1.0, 200.0, "1");

    /// A profile from pairs of time in s and gauge pressure.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a time outside
    /// [`Self::TIME`] or a number of points outside [`Self::POINTS`];
    /// [`MathsError::Inconsistent`] when the times do not rise.
    pub fn new(points: &[(f64, GaugePressure)]) -> Result<Self, MathsError> {
        #[expect(clippy::cast_precision_loss, reason = "a count of points is small")]
        Self::POINTS.check(points.len() as f64)?;
        for (time_s, _) in points {
            Self::TIME.check(*time_s)?;
        }
        for pair in points.windows(2) {
            if pair[1].0 <= pair[0].0 {
                return Err(MathsError::Inconsistent {
                    rule: "the times of a pressure profile rise",
                    left: pair[0].0,
                    right: pair[1].0,
                    unit: "s",
                });
            }
        }
        let points = points
            .iter()
            .map(|(t, p)| (*t, p.bar() * PASCALS_PER_BAR))
            .collect();
        Ok(Self { points })
    }

    /// The same pressure from start to end.
    #[must_use]
    pub fn constant(pressure: GaugePressure) -> Self {
        Self {
            points: vec![(0.0, pressure.bar() * PASCALS_PER_BAR)],
        }
    }

    /// The highest pressure, Pa.
    #[must_use]
    pub fn highest_pa(&self) -> f64 {
        let pressures = self.points.iter().map(|(_, pressure)| *pressure);
        pressures.fold(0.0, f64::max)
    }

    /// The line that holds from `time_s` on; at a point, the one after it.
    pub(super) fn segment(&self, time_s: f64) -> Segment {
        let after = self.points.partition_point(|(t, _)| *t <= time_s);
        let held = |pressure, end_s| Segment {
            start_s: time_s,
            start_pa: pressure,
            slope_pa_per_s: 0.0,
            end_s,
        };
        match (after.checked_sub(1), self.points.get(after)) {
            (Some(before), Some(&(end_s, end_pa))) => {
                let (start_s, start_pa) = self.points[before];
                Segment {
                    start_s,
                    start_pa,
                    slope_pa_per_s: (end_pa - start_pa) / (end_s - start_s),
                    end_s,
                }
            }
            (Some(last), None) => held(self.points[last].1, f64::INFINITY),
            (None, Some(&(end_s, pressure))) => held(pressure, end_s),
            (None, None) => held(0.0, f64::INFINITY),
        }
    }

    /// When the time integral of the square root of the pressure reaches `goal`, Pa^½ s; none
    /// when that is not before `end_s`. Exact on each line up to the root of a cubic.
    pub(super) fn time_of_root_integral(&self, goal: f64, end_s: f64) -> Option<f64> {
        let (mut time_s, mut left) = (0.0, goal);
        while left > 0.0 {
            let segment = self.segment(time_s);
            let stop_s = segment.end_s.min(end_s);
            let whole = root_integral(&segment, time_s, stop_s);
            if whole >= left {
                return Some(time_s + root_integral_inverse(&segment, time_s, stop_s, left));
            }
            if stop_s >= end_s {
                return None;
            }
            left -= whole;
            time_s = stop_s;
        }
        Some(time_s)
    }
}

/// Integral of the square root of a straight line, in a form that does not cancel.
fn root_integral(segment: &Segment, from_s: f64, to_s: f64) -> f64 {
    let (a, b) = (segment.pressure_pa(from_s), segment.pressure_pa(to_s));
    let (root_a, root_b) = (a.sqrt(), b.sqrt());
    if root_a + root_b == 0.0 {
        return 0.0;
    }
    (to_s - from_s) * (2.0 / 3.0) * (a + root_a * root_b + b) / (root_a + root_b)
}

/// Time after `from_s` at which the integral is `goal`, by bisection to the last bit.
fn root_integral_inverse(segment: &Segment, from_s: f64, to_s: f64, goal: f64) -> f64 {
    let (mut low, mut high) = (0.0, to_s - from_s);
    for _ in 0..64 {
        let middle = 0.5 * (low + high);
        if root_integral(segment, from_s, from_s + middle) < goal {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
