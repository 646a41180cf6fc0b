//! Before the first drop: where the scale's zero is, and when the flow begins.

/// Readings nearer than this to their mean are one steady level, g.
const STEADY_WITHIN_G: f64 = 0.3;
/// Level up to which a scale is taken as tared, g.
const TARED_WITHIN_G: f64 = 1.0;
/// Time after which a steady level is the zero of a tared scale, s.
const TARED_AFTER_S: f64 = 0.4;
/// Time after which any steady level is the zero: a cup that was not tared, s.
const STEADY_AFTER_S: f64 = 2.0;
/// Fewest readings of a zero.
const ZERO_READINGS: f64 = 4.0;
/// Height above the zero that three readings in a row must have for the first drops, g.
const FIRST_DROPS_G: f64 = 0.25;
/// Readings in a row that are the first drops.
const FIRST_DROPS_READINGS: f64 = 3.0;
/// Fall below the zero that is a new tare, g.
const FALLEN_G: f64 = 0.5;
/// Rise that no shot has: a cup was set down or the scale was knocked, g/s.
const KNOCKED_G_PER_S: f64 = 15.0;
/// Shortest time over which a rise is judged, s.
const USUAL_STEP_S: f64 = 0.1;
/// Half of the time for which readings must rise when a stream begins in the midst of a shot, s.
const MIDST_HALF_S: f64 = 0.6;
/// Rise over each half, g.
const MIDST_RISE_G: f64 = 0.2;
/// How even the halves are: on a scale with a lag of 1.5 s a cup that was set down has 0.67.
const MIDST_EVEN: f64 = 0.7;

/// A scale on which nothing has flowed yet.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Waiting {
    pub(super) is_settled: bool,
    /// Reading of the empty cup once it is settled, g.
    pub(super) zero_g: f64,
    /// The steady level that is being watched: since when, sum and number of its readings.
    pub(super) since_s: f64,
    pub(super) sum_g: f64,
    pub(super) count: f64,
    /// Readings in a row above the zero.
    pub(super) above: f64,
    /// A rise that is being watched: its start, and its middle once that has passed.
    pub(super) rise_s: f64,
    pub(super) rise_g: f64,
    pub(super) has_middle: bool,
    pub(super) middle_g: f64,
    /// The last reading, g.
    pub(super) last_g: f64,
}

/// What a reading tells of a scale on which nothing has flowed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Seen {
    Nothing,
    /// The scale was tared.
    Tared,
    /// Something was set down on the scale, or it was knocked.
    Knocked,
    /// Coffee flows; the zero of the scale.
    Flow(f64),
}

impl Waiting {
    /// A scale at its first reading.
    pub(super) const fn new(time_s: f64, reading_g: f64) -> Self {
        Self {
            is_settled: false,
            zero_g: 0.0,
            since_s: time_s,
            sum_g: reading_g,
            count: 1.0,
            above: 0.0,
            rise_s: time_s,
            rise_g: reading_g,
            has_middle: false,
            middle_g: 0.0,
            last_g: reading_g,
        }
    }

    /// Takes the next reading, `step_s` after the last one.
    pub(super) fn push(&mut self, time_s: f64, step_s: f64, reading_g: f64) -> Seen {
        let rise_g = reading_g - self.last_g;
        let is_knock = rise_g > KNOCKED_G_PER_S * step_s.max(USUAL_STEP_S);
        let was_settled = self.is_settled;
        if is_knock {
            *self = Self::new(time_s, reading_g);
            return if was_settled {
                Seen::Knocked
            } else {
                Seen::Nothing
            };
        }
        self.last_g = reading_g;
        if was_settled {
            return self.push_settled(time_s, reading_g);
        }
        self.settle(time_s, reading_g);
        if !self.is_settled && self.rises(time_s, reading_g, rise_g) {
            // the zero was never seen, so the reading is taken at its word
            return Seen::Flow(0.0);
        }
        Seen::Nothing
    }

    fn push_settled(&mut self, time_s: f64, reading_g: f64) -> Seen {
        let over_g = reading_g - self.zero_g;
        if over_g < -FALLEN_G {
            *self = Self::new(time_s, reading_g);
            return Seen::Tared;
        }
        self.above = if over_g >= FIRST_DROPS_G {
            self.above + 1.0
        } else {
            0.0
        };
        if self.above >= FIRST_DROPS_READINGS {
            return Seen::Flow(self.zero_g);
        }
        Seen::Nothing
    }

    /// Watches for a steady level, which becomes the zero.
    fn settle(&mut self, time_s: f64, reading_g: f64) {
        let mean_g = self.sum_g / self.count;
        if libm::fabs(reading_g - mean_g) > STEADY_WITHIN_G {
            (self.since_s, self.sum_g, self.count) = (time_s, reading_g, 1.0);
            return;
        }
        self.sum_g += reading_g;
        self.count += 1.0;
        let mean_g = self.sum_g / self.count;
        let needed_s = if libm::fabs(mean_g) <= TARED_WITHIN_G {
            TARED_AFTER_S
        } else {
            STEADY_AFTER_S
        };
        if self.count >= ZERO_READINGS && time_s - self.since_s >= needed_s {
            self.is_settled = true;
            self.zero_g = mean_g;
        }
    }

    /// Whether the readings have risen evenly for as long as a stream that began in the midst
    /// of a shot needs to prove it; a cup that was set down rises ever more slowly.
    fn rises(&mut self, time_s: f64, reading_g: f64, step_g: f64) -> bool {
        if step_g < -STEADY_WITHIN_G {
            self.watch_from(time_s, reading_g);
        }
        let watched_s = time_s - self.rise_s;
        if !self.has_middle {
            if watched_s >= MIDST_HALF_S {
                (self.has_middle, self.middle_g) = (true, reading_g);
            }
            return false;
        }
        if watched_s < 2.0 * MIDST_HALF_S {
            return false;
        }
        let (first_g, second_g) = (self.middle_g - self.rise_g, reading_g - self.middle_g);
        let is_flow = first_g > MIDST_RISE_G && second_g > MIDST_RISE_G.max(MIDST_EVEN * first_g);
        self.watch_from(time_s, reading_g);
        is_flow
    }

    fn watch_from(&mut self, time_s: f64, reading_g: f64) {
        (self.rise_s, self.rise_g, self.has_middle) = (time_s, reading_g, false);
    }
}
