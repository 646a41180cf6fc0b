//! Which readings are new: a phone sends some twice, and its clock may be set.

/// How far above everything seen a reading must be to prove that it is new although its time is
/// not, g. A reading that is sent again never is.
const SURELY_NEW_G: f64 = 1.0;

/// Time without a reading that is reported, s.
pub(super) const GAP_S: f64 = 1.0;

/// Times and readings seen so far.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Clock {
    /// Whether any reading was seen.
    pub(super) is_running: bool,
    pub(super) first_s: f64,
    pub(super) last_s: f64,
    /// Highest reading, g.
    pub(super) highest_g: f64,
    /// Whether the readings before this one were from before the first.
    pub(super) is_back: bool,
}

/// What a reading is, by its time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Admission {
    /// The first one.
    First,
    /// New, this long after the last one, s.
    Next(f64),
    /// Seen before.
    Seen,
    /// From before the first one: the clock was set back. Said once for each run of them.
    Back { is_news: bool },
    /// New, at a time that has passed: the clock was set back, and goes on from here.
    SetBack,
}

impl Clock {
    /// Takes note of a reading.
    pub(super) fn admit(&mut self, time_s: f64, reading_g: f64) -> Admission {
        if !self.is_running {
            *self = Self {
                is_running: true,
                first_s: time_s,
                last_s: time_s,
                highest_g: reading_g,
                is_back: false,
            };
            return Admission::First;
        }
        let step_s = time_s - self.last_s;
        if step_s > 0.0 {
            self.last_s = time_s;
            self.highest_g = self.highest_g.max(reading_g);
            self.is_back = false;
            return Admission::Next(step_s);
        }
        if reading_g > self.highest_g + SURELY_NEW_G {
            self.last_s = time_s;
            self.first_s = self.first_s.min(time_s);
            self.highest_g = reading_g;
            self.is_back = false;
            return Admission::SetBack;
        }
        if time_s < self.first_s {
            let is_news = !self.is_back;
            self.is_back = true;
            return Admission::Back { is_news };
        }
        Admission::Seen
    }
}
