//! What went wrong with a stream of readings.

/// Longest time between two faults of one kind that are told as one, s.
const TOLD_TOGETHER_S: f64 = 1.0;

/// Kind of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultKind {
    /// The cup or the scale was knocked: readings leave the curve and come back.
    Bump,
    /// The scale was set to zero.
    Tare,
    /// The cup, or something else, was put on the scale.
    CupSetDown,
    /// The cup, or something else, was taken off the scale.
    CupLifted,
    /// Readings are missing.
    Gap,
    /// One instant has two readings.
    Duplicate,
    /// The clock ran back, or a reading came late.
    ClockRunningBack,
    /// The scale was at the end of its range.
    ScaleOutOfRange,
}

/// A fault and when it was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fault {
    /// What went wrong.
    pub kind: FaultKind,
    /// When it began, on the clock of the readings, s.
    pub time_s: f64,
    /// How many readings it touches; for a gap, how many are missing.
    pub readings: u32,
    last_s: f64,
}

impl Fault {
    /// A fault of one reading.
    #[must_use]
    pub const fn at(kind: FaultKind, time_s: f64) -> Self {
        Self::spread(kind, (time_s, time_s), 1)
    }

    /// A fault that lasts.
    #[must_use]
    pub const fn spread(kind: FaultKind, (time_s, last_s): (f64, f64), readings: u32) -> Self {
        Self {
            kind,
            time_s,
            readings,
            last_s,
        }
    }
}

/// Faults in order of time; those of one kind that follow each other closely are one.
#[must_use]
pub(super) fn joined(mut faults: Vec<Fault>) -> Vec<Fault> {
    faults.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    let mut told: Vec<Fault> = Vec::new();
    for fault in faults {
        let same = told.iter_mut().rev().find(|other| {
            other.kind == fault.kind && fault.time_s - other.last_s <= TOLD_TOGETHER_S
        });
        match same {
            Some(other) => {
                other.readings = other.readings.saturating_add(fault.readings);
                other.last_s = libm::fmax(other.last_s, fault.last_s);
            }
            None => told.push(fault),
        }
    }
    told
}
