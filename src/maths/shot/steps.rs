//! Steps of the scale: a tare, a cup set down or lifted. What lies between them is put on one
//! level, so that the curve is that of the coffee alone. A jump that comes back is a bump.

use super::fault::{Fault, FaultKind};
use super::jumps::{self, AT_ONCE_S, Jump};
use super::line::{Line, after, before};
use super::stream::Reading;

/// Smallest rate that is a flow, g/s; less is what remains of a jump.
const SMALLEST_FLOW: f64 = 0.2;

/// Farthest from nothing that a scale may be after a tare, g.
const ZERO_G: f64 = 1.0;

/// Farthest from the curve that a jump may end to be a bump: g, and share of the jump.
const COMES_BACK: (f64, f64) = (0.5, 0.03);

/// Stretch of readings that gives level and flow on each side, s.
const SIDE_S: f64 = 1.0;

/// Fewest readings that give a level.
const FEWEST: usize = 3;

/// Puts the readings on one level and marks those inside a jump as of no use.
pub(super) fn level(readings: &mut [Reading], pace: (f64, f64), usable: &mut [bool]) -> Vec<Fault> {
    let raw = readings.to_vec();
    let found = jumps::find(&raw, pace);
    let mut faults = Vec::new();
    let (mut offset_g, mut begin) = (0.0, 0);
    for (place, jump) in found.iter().enumerate() {
        let end = found.get(place + 1).map_or(raw.len(), |next| next.from + 1);
        mark(usable, jump.from + 1, jump.to);
        let sides = Sides::of(&raw, begin, *jump, end);
        let step_g = sides.map(|sides| sides.step_g(pace.1));
        let kind = kind(&raw, *jump, step_g);
        faults.extend(told(&raw, *jump, pace.0, kind));
        match step_g {
            Some(_) if kind == FaultKind::Bump => {}
            Some(step_g) => offset_g -= step_g,
            // a side that is too short to give a level is of no use
            None if jump.from + 1 - begin < FEWEST => mark(usable, begin, jump.from + 1),
            None => mark(usable, jump.to, end),
        }
        for reading in readings.iter_mut().take(end).skip(jump.from + 1) {
            reading.mass_g += offset_g;
        }
        begin = jump.to;
    }
    faults
}

fn mark(usable: &mut [bool], from: usize, to: usize) {
    let inside = usable.iter_mut().take(to).skip(from);
    inside.for_each(|is_usable| *is_usable = false);
}

/// What a jump is: by the height of its step where that is known, by its ends otherwise.
fn kind(raw: &[Reading], jump: Jump, step_g: Option<f64>) -> FaultKind {
    let mass_g = |place: usize| raw.get(place).map_or(0.0, |r| r.mass_g);
    let begin_g = mass_g(jump.from);
    let inside = || {
        raw.iter()
            .take(jump.to + 1)
            .skip(jump.from)
            .map(|r| r.mass_g)
    };
    let far = |far: f64, mass_g: f64| libm::fmax(far, libm::fabs(mass_g - begin_g));
    let limit_g = libm::fmax(COMES_BACK.0, COMES_BACK.1 * inside().fold(0.0, far));
    let by_ends = mass_g(jump.to.min(raw.len() - 1)) - begin_g;
    if step_g.is_some_and(|step_g| libm::fabs(step_g) < limit_g) {
        FaultKind::Bump
    } else if step_g.unwrap_or(by_ends) > 0.0 {
        FaultKind::CupSetDown
    } else if libm::fabs(inside().fold(f64::MAX, f64::min)) <= ZERO_G {
        FaultKind::Tare
    } else {
        FaultKind::CupLifted
    }
}

/// Level and flow on one side of a jump.
#[derive(Debug, Clone, Copy)]
struct Side {
    mass_g: f64,
    flow: f64,
}

impl Side {
    fn of(readings: &[Reading], time_s: f64) -> Option<Self> {
        let line = Line::through(readings)?;
        let flow = line.slope_g_per_s;
        Some(Self {
            mass_g: line.at(time_s),
            flow: if flow < SMALLEST_FLOW { 0.0 } else { flow },
        })
    }
}

/// Both sides of a jump.
#[derive(Debug, Clone, Copy)]
struct Sides {
    old: Side,
    new: Side,
    time_s: f64,
    /// Flow while the scale settled.
    settling_flow: f64,
}

impl Sides {
    /// None where one of them is too short.
    fn of(raw: &[Reading], begin: usize, jump: Jump, end: usize) -> Option<Self> {
        let before_it = raw.get(begin..=jump.from)?;
        let after_it = raw.get(jump.to..end)?;
        if before_it.len() < FEWEST || after_it.len() < FEWEST {
            return None;
        }
        let (last, first) = (before_it.last()?, after_it.first()?);
        let old = Side::of(before(before_it, before_it.len() - 1, SIDE_S), last.time_s)?;
        let new = Side::of(after(after_it, 0, SIDE_S), first.time_s)?;
        let settling = Side::of(before(raw, jump.to, SIDE_S), first.time_s);
        Some(Self {
            old,
            new,
            time_s: first.time_s - last.time_s,
            settling_flow: settling.map_or(new.flow, |side| side.flow),
        })
    }

    /// Height of the step without what ran meanwhile, g.
    fn step_g(&self, lag_s: f64) -> f64 {
        let Self {
            old, new, time_s, ..
        } = *self;
        let took_long = time_s > AT_ONCE_S;
        let through_g = 0.5 * (old.flow + new.flow) * time_s;
        let rise_g = new.mass_g - old.mass_g;
        let ran_g = if took_long && old.flow <= 0.0 {
            // a cup that is set down catches what falls from then on, and the scale lags; the
            // flow may have begun only after it
            libm::fmin(new.flow, self.settling_flow) * libm::fmax(0.0, time_s - lag_s)
        } else if took_long && new.flow <= 0.0 && rise_g < 0.0 {
            // a cup that is lifted: what had fallen and was not shown yet
            old.flow * lag_s
        } else {
            through_g
        };
        rise_g - ran_g
    }
}

/// The fault of a jump.
fn told(raw: &[Reading], jump: Jump, interval_s: f64, kind: FaultKind) -> Option<Fault> {
    let (from, first) = (raw.get(jump.from)?, raw.get(jump.from + 1)?);
    let to = raw.get(jump.to.min(raw.len() - 1))?;
    // a gap just before it is no part of the jump
    let begin_s = libm::fmax(from.time_s, first.time_s - 2.0 * interval_s);
    let count = u32::try_from(jump.to - jump.from).unwrap_or(u32::MAX);
    Some(Fault::spread(
        kind,
        (begin_s, libm::fmax(begin_s, to.time_s)),
        count,
    ))
}
