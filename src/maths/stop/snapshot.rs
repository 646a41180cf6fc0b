//! A tracker taken apart into numbers, and put together again bit for bit.

use super::clock::Clock;
use super::drain::Drain;
use super::estimate::Estimate;
use super::flowing::Flowing;
use super::tracker::{Cup, Due, Settings, Tracker};
use super::waiting::Waiting;
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// What a tracker can hold; far more than readings inside their ranges lead to.
const ANY: Range = Range::new("number of a shot's state", -1e12, 1e12, "1");
const VARIANCE: Range = Range::new("variance of a shot's state", 0.0, 1e18, "1");
const COVARIANCE: Range = Range::new("covariance of a shot's state", -1e18, 1e18, "1");
const COUNT: Range = Range::new("count of a shot's state", 0.0, 1e9, "1");
const FLAG: Range = Range::new("flag of a shot's state", 0.0, 1.0, "1");
const BASE: Range = Range::new("base of the drain", 0.0, 1000.0, "g");
const PER_FLOW: Range = Range::new("drain for each g/s", 0.0, 1000.0, "s");

/// How far a covariance may exceed what its variances allow: rounding.
const ROUNDING: f64 = 1e-6;

/// Numbers in the order in which they were put down.
struct Numbers<'a>(std::slice::Iter<'a, f64>);

impl Numbers<'_> {
    fn next(&mut self, range: Range) -> Result<f64, MathsError> {
        let missing = MathsError::NoSolution {
            equation: "the state of a shot",
            reason: "numbers are missing",
        };
        range.check(*self.0.next().ok_or(missing)?)
    }

    fn flag(&mut self) -> Result<bool, MathsError> {
        let value = self.next(FLAG)?;
        whole(value)?;
        Ok(value > 0.5)
    }

    fn count(&mut self) -> Result<f64, MathsError> {
        whole(self.next(COUNT)?)
    }

    fn end(mut self) -> Result<(), MathsError> {
        match self.0.next() {
            None => Ok(()),
            Some(_) => Err(MathsError::NoSolution {
                equation: "the state of a shot",
                reason: "there are too many numbers",
            }),
        }
    }
}

fn whole(value: f64) -> Result<f64, MathsError> {
    if libm::floor(value).total_cmp(&value).is_eq() {
        return Ok(value);
    }
    Err(MathsError::Inconsistent {
        rule: "a count in the state of a shot is whole",
        left: value,
        right: libm::floor(value),
        unit: "1",
    })
}

/// Whether a covariance can stand beside its two variances.
fn possible(covariance: f64, variances: [f64; 2]) -> Result<(), MathsError> {
    let most = libm::sqrt(variances[0] * variances[1]) * (1.0 + ROUNDING) + 1e-12;
    if libm::fabs(covariance) <= most {
        return Ok(());
    }
    Err(MathsError::Inconsistent {
        rule: "a covariance in the state of a shot is at most the product of the spreads",
        left: covariance,
        right: most,
        unit: "1",
    })
}

fn flag(value: bool) -> f64 {
    f64::from(u8::from(value))
}

impl Tracker {
    /// The tracker as numbers, from which [`Tracker::from_numbers`] makes it again.
    #[must_use]
    pub fn numbers(&self) -> Vec<f64> {
        let mut out = Vec::with_capacity(32);
        let s = &self.settings;
        out.extend([
            s.target_g,
            s.command_latency_s,
            s.scale_lag_s,
            s.transport_delay_s,
        ]);
        let d = &self.drain;
        out.extend([d.base_g, d.per_flow_s]);
        out.extend(d.covariance);
        out.push(d.shot_variance_g2);
        let c = &self.clock;
        out.extend([flag(c.is_running), c.first_s, c.last_s, c.highest_g]);
        out.push(flag(c.is_back));
        match &self.cup {
            Cup::Waiting(w) => {
                out.extend([0.0, flag(w.is_settled), w.zero_g, w.since_s, w.sum_g]);
                out.extend([w.count, w.above, w.rise_s, w.rise_g]);
                out.extend([flag(w.has_middle), w.middle_g, w.last_g]);
            }
            Cup::Flowing(f) => {
                out.extend([1.0, f.zero_g, f.aside, f.aside_g]);
                out.extend(f.estimate.mean);
                out.extend(f.estimate.covariance);
            }
        }
        out.push(flag(self.due.is_some()));
        if let Some(due) = &self.due {
            out.extend([due.stop_at_s, due.flow_g_per_s, due.final_g]);
            out.push(due.variance_g2);
        }
        out
    }

    /// The tracker that came apart into these numbers.
    ///
    /// # Errors
    /// When there are too few or too many of them, or one that no tracker can hold:
    /// [`MathsError::NoSolution`], [`MathsError::OutOfRange`], [`MathsError::NonFinite`] or
    /// [`MathsError::Inconsistent`].
    pub fn from_numbers(numbers: &[f64]) -> Result<Self, MathsError> {
        let mut n = Numbers(numbers.iter());
        let settings = Settings {
            target_g: n.next(ANY)?,
            command_latency_s: n.next(ANY)?,
            scale_lag_s: n.next(ANY)?,
            transport_delay_s: n.next(ANY)?,
        };
        let mut tracker = Self::new(settings, drain(&mut n)?)?;
        tracker.clock = clock(&mut n)?;
        tracker.cup = if n.flag()? {
            Cup::Flowing(flowing(&mut n)?)
        } else {
            Cup::Waiting(waiting(&mut n, tracker.clock.is_running)?)
        };
        if n.flag()? {
            tracker.due = Some(Due {
                stop_at_s: n.next(ANY)?,
                flow_g_per_s: n.next(ANY)?,
                final_g: n.next(ANY)?,
                variance_g2: n.next(VARIANCE)?,
            });
        }
        n.end()?;
        Ok(tracker)
    }
}

fn drain(n: &mut Numbers<'_>) -> Result<Drain, MathsError> {
    let drain = Drain {
        base_g: n.next(BASE)?,
        per_flow_s: n.next(PER_FLOW)?,
        covariance: [n.next(VARIANCE)?, n.next(COVARIANCE)?, n.next(VARIANCE)?],
        shot_variance_g2: n.next(VARIANCE)?,
    };
    let [base, both, per_flow] = drain.covariance;
    possible(both, [base, per_flow])?;
    Ok(drain)
}

fn clock(n: &mut Numbers<'_>) -> Result<Clock, MathsError> {
    let clock = Clock {
        is_running: n.flag()?,
        first_s: n.next(Tracker::TIME)?,
        last_s: n.next(Tracker::TIME)?,
        highest_g: n.next(Tracker::READING)?,
        is_back: n.flag()?,
    };
    if clock.first_s <= clock.last_s {
        return Ok(clock);
    }
    Err(MathsError::Inconsistent {
        rule: "the first reading is not after the last one",
        left: clock.first_s,
        right: clock.last_s,
        unit: "s",
    })
}

fn waiting(n: &mut Numbers<'_>, is_running: bool) -> Result<Waiting, MathsError> {
    let waiting = Waiting {
        is_settled: n.flag()?,
        zero_g: n.next(ANY)?,
        since_s: n.next(ANY)?,
        sum_g: n.next(ANY)?,
        count: n.count()?,
        above: n.count()?,
        rise_s: n.next(ANY)?,
        rise_g: n.next(ANY)?,
        has_middle: n.flag()?,
        middle_g: n.next(ANY)?,
        last_g: n.next(ANY)?,
    };
    // a mean is taken over them
    if waiting.count < 1.0 && is_running {
        return Err(MathsError::Inconsistent {
            rule: "a scale that was read has a reading",
            left: waiting.count,
            right: 1.0,
            unit: "1",
        });
    }
    Ok(waiting)
}

fn flowing(n: &mut Numbers<'_>) -> Result<Flowing, MathsError> {
    let zero_g = n.next(ANY)?;
    let aside = n.count()?;
    let aside_g = n.next(ANY)?;
    let mean = [n.next(ANY)?, n.next(ANY)?, n.next(ANY)?];
    let mut covariance = [0.0; 6];
    for (place, entry) in covariance.iter_mut().enumerate() {
        let is_variance = [0, 3, 5].contains(&place);
        *entry = n.next(if is_variance { VARIANCE } else { COVARIANCE })?;
    }
    let [mm, mq, mr, qq, qr, rr] = covariance;
    possible(mq, [mm, qq])?;
    possible(mr, [mm, rr])?;
    possible(qr, [qq, rr])?;
    Ok(Flowing {
        zero_g,
        estimate: Estimate { mean, covariance },
        aside,
        aside_g,
    })
}
