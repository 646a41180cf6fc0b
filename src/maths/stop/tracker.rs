//! A shot on a scale, followed reading by reading.

use super::clock::{Admission, Clock, GAP_S};
use super::drain::Drain;
use super::estimate::Estimate;
use super::flowing::{Believed, Flowing};
use super::outlook::{self, Outlook};
use super::waiting::{Seen, Waiting};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// What a shot is stopped for, and how the scale and the machine are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Beverage wanted, g.
    pub target_g: f64,
    /// From the command to the pump's stop, s.
    pub command_latency_s: f64,
    /// Time constant of the scale, s.
    pub scale_lag_s: f64,
    /// From the bed to the scale's pan, and from there to the reading, s.
    pub transport_delay_s: f64,
}

impl Settings {
    /// Latency when none is given, s. Assumed.
    pub const USUAL_LATENCY_S: f64 = 0.2;
    /// Lag when none is given, s. Assumed.
    pub const USUAL_LAG_S: f64 = 0.4;
    /// Delay when none is given, s. Assumed.
    pub const USUAL_DELAY_S: f64 = 0.12;
    /// Latencies that a machine can have.
    pub const LATENCY: Range = Range::new("command latency", 0.0, 5.0, "s");
    /// Lags that a scale can have.
    pub const LAG: Range = Range::new("scale lag", 0.05, 3.0, "s");
    /// Delays on the way to the scale.
    pub const DELAY: Range = Range::new("transport delay", 0.0, 2.0, "s");
    /// Targets of a shot.
    pub const TARGET: Range = Range::new("target beverage", 1.0, 1000.0, "g");

    /// The settings, each inside its range.
    fn checked(self) -> Result<Self, MathsError> {
        Self::TARGET.check(self.target_g)?;
        Self::LATENCY.check(self.command_latency_s)?;
        Self::LAG.check(self.scale_lag_s)?;
        Self::DELAY.check(self.transport_delay_s)?;
        Ok(self)
    }
}

/// Something about a reading that is not as it should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// The scale was knocked, or something was set down on it; set aside.
    Bump,
    /// The scale was tared; the mass goes on from where it was.
    Tare,
    /// The reading stays higher than can have flowed; the mass goes on from where it was.
    Shift,
    /// More than a second without a reading.
    Gap,
    /// The clock ran back.
    ClockBack,
}

/// What became of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    /// Whether it was put to use.
    pub is_used: bool,
    /// What was the matter with it.
    pub fault: Option<Fault>,
}

impl Taken {
    const fn used(fault: Option<Fault>) -> Self {
        Self {
            is_used: true,
            fault,
        }
    }

    const fn aside(fault: Option<Fault>) -> Self {
        Self {
            is_used: false,
            fault,
        }
    }
}

/// What is on the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cup {
    Waiting(Waiting),
    Flowing(Flowing),
}

/// The moment to stop, once it has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Due {
    pub(super) stop_at_s: f64,
    /// Flow foretold for the stop, g/s.
    pub(super) flow_g_per_s: f64,
    /// Final mass as foretold then, g.
    pub(super) final_g: f64,
    /// Variance of that mass, g².
    pub(super) variance_g2: f64,
}

/// A shot on a scale.
///
/// The same readings lead to the same tracker, bit for bit, in however many portions they come:
/// nothing is decided but at a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tracker {
    pub(super) settings: Settings,
    pub(super) drain: Drain,
    pub(super) clock: Clock,
    pub(super) cup: Cup,
    pub(super) due: Option<Due>,
}

impl Tracker {
    /// Times that a reading can have.
    pub const TIME: Range = Range::new("time", -3600.0, 86_400.0, "s");
    /// Masses that a scale can show.
    pub const READING: Range = Range::new("scale reading", -5000.0, 10_000.0, "g");

    /// A shot of which nothing was read yet.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] for a setting outside its range.
    pub fn new(settings: Settings, drain: Drain) -> Result<Self, MathsError> {
        Ok(Self {
            settings: settings.checked()?,
            drain,
            clock: Clock::default(),
            cup: Cup::Waiting(Waiting::default()),
            due: None,
        })
    }

    /// The settings of the shot.
    #[must_use]
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// What is expected after the stop.
    #[must_use]
    pub const fn drain(&self) -> &Drain {
        &self.drain
    }

    /// The same shot with another drain.
    #[must_use]
    pub const fn with_drain(mut self, drain: Drain) -> Self {
        self.drain = drain;
        self
    }

    /// What is foretold at the last reading.
    #[must_use]
    pub fn outlook(&self) -> Outlook {
        outlook::outlook(self)
    }

    /// What is known of the cup, the delay before the last reading, once coffee flows.
    #[must_use]
    pub const fn estimate(&self) -> Option<Estimate> {
        match &self.cup {
            Cup::Waiting(_) => None,
            Cup::Flowing(flowing) => Some(flowing.estimate),
        }
    }

    /// Reading of the empty cup, g, once it is known.
    #[must_use]
    pub const fn zero_g(&self) -> Option<f64> {
        match &self.cup {
            Cup::Waiting(waiting) if waiting.is_settled => Some(waiting.zero_g),
            Cup::Waiting(_) => None,
            Cup::Flowing(flowing) => Some(flowing.zero_g),
        }
    }

    /// Takes a reading of the scale.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] outside [`Self::TIME`] and [`Self::READING`],
    /// [`MathsError::NonFinite`] for NaN.
    pub fn push(&mut self, time_s: f64, reading_g: f64) -> Result<Taken, MathsError> {
        Self::TIME.check(time_s)?;
        Self::READING.check(reading_g)?;
        Ok(match self.clock.admit(time_s, reading_g) {
            Admission::First => {
                self.cup = Cup::Waiting(Waiting::new(time_s, reading_g));
                Taken::used(None)
            }
            Admission::Next(step_s) => self.advance(step_s, reading_g),
            Admission::Seen => Taken::aside(None),
            Admission::Back { is_news } => Taken::aside(is_news.then_some(Fault::ClockBack)),
            Admission::SetBack => {
                match &mut self.cup {
                    Cup::Waiting(waiting) if waiting.is_settled => {}
                    Cup::Waiting(waiting) => *waiting = Waiting::new(time_s, reading_g),
                    Cup::Flowing(flowing) => flowing.reopen(reading_g),
                }
                Taken::used(Some(Fault::ClockBack))
            }
        })
    }

    fn advance(&mut self, step_s: f64, reading_g: f64) -> Taken {
        let taken = match &mut self.cup {
            Cup::Waiting(waiting) => match waiting.push(self.clock.last_s, step_s, reading_g) {
                Seen::Nothing => Taken::used(None),
                Seen::Tared => Taken::used(Some(Fault::Tare)),
                Seen::Knocked => Taken::used(Some(Fault::Bump)),
                Seen::Flow(zero_g) => {
                    self.cup = Cup::Flowing(Flowing::new(zero_g, reading_g));
                    Taken::used(None)
                }
            },
            Cup::Flowing(flowing) => {
                match flowing.push(step_s, self.settings.scale_lag_s, reading_g) {
                    Believed::Yes => Taken::used(None),
                    Believed::No { is_news } => Taken::aside(is_news.then_some(Fault::Bump)),
                    Believed::NewZero { is_lower: true } => Taken::used(Some(Fault::Tare)),
                    Believed::NewZero { is_lower: false } => Taken::used(Some(Fault::Shift)),
                }
            }
        };
        if self.due.is_none() {
            self.due = outlook::due(self);
        }
        let gap = (step_s > GAP_S).then_some(Fault::Gap);
        Taken {
            fault: taken.fault.or(gap),
            ..taken
        }
    }
}
