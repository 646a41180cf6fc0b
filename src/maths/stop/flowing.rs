//! The flowing shot: the filter, and what to do with a reading that it cannot believe.

use super::estimate::{Estimate, READING_NOISE_G};

/// Surprises beyond this many standard deviations count as this many.
const CLIPPED_AT: f64 = 3.0;
/// Surprises beyond this many standard deviations are set aside, if they are also
const ASIDE_AT: f64 = 8.0;
/// ... beyond this, g: more than the start and the end of any flow surprise by.
const ASIDE_ABOVE_G: f64 = 1.5;
/// Readings in a row that must agree before they are believed.
const AGREE_READINGS: f64 = 6.0;
/// Two surprises in a row that differ by less agree, g: at the same flow, on another zero.
const AGREE_WITHIN_G: f64 = 0.25;
/// Readings in a row after which the flow is taken to have changed.
const CHANGED_READINGS: f64 = 10.0;
/// Flow at the first drops, and how far it may be off, g/s. Assumed.
const FIRST_FLOW_G_PER_S: f64 = 1.0;
const FIRST_FLOW_SPREAD_G_PER_S: f64 = 2.0;
/// How far the mass may be from what a scale that lags shows, g.
const FIRST_MASS_SPREAD_G: f64 = 1.0;

/// A shot whose coffee flows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Flowing {
    /// Reading of the empty cup, g.
    pub(super) zero_g: f64,
    pub(super) estimate: Estimate,
    /// Readings set aside in a row, and the surprise of the last one, g.
    pub(super) aside: f64,
    pub(super) aside_g: f64,
}

/// What became of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Believed {
    Yes,
    /// Set aside; the first one of a run is news.
    No {
        is_news: bool,
    },
    /// Believed as a new zero of the scale: what came down was a tare.
    NewZero {
        is_lower: bool,
    },
}

impl Flowing {
    /// A shot at its first drops.
    pub(super) const fn new(zero_g: f64, reading_g: f64) -> Self {
        let over_g = reading_g - zero_g;
        Self {
            zero_g,
            estimate: opened(over_g, FIRST_FLOW_G_PER_S),
            aside: 0.0,
            aside_g: 0.0,
        }
    }

    /// Goes on without knowing how much time has passed.
    pub(super) const fn reopen(&mut self, reading_g: f64) {
        self.estimate = opened(reading_g - self.zero_g, self.estimate.mean[1]);
        self.aside = 0.0;
    }

    /// Takes the next reading, `step_s` after the last one.
    pub(super) fn push(&mut self, step_s: f64, lag_s: f64, reading_g: f64) -> Believed {
        self.estimate = self.estimate.after(step_s, lag_s);
        let surprise_g = reading_g - self.zero_g - self.estimate.mean[2];
        let spread_g = self.estimate.reading_spread_g();
        if libm::fabs(surprise_g) <= ASIDE_ABOVE_G.max(ASIDE_AT * spread_g) {
            let most_g = CLIPPED_AT * spread_g;
            self.estimate = self
                .estimate
                .with_surprise(surprise_g.clamp(-most_g, most_g));
            self.aside = 0.0;
            return Believed::Yes;
        }
        let is_agreed = libm::fabs(surprise_g - self.aside_g) <= AGREE_WITHIN_G;
        self.aside += 1.0;
        self.aside_g = surprise_g;
        if self.aside >= AGREE_READINGS && is_agreed {
            self.zero_g += surprise_g;
            self.aside = 0.0;
            return Believed::NewZero {
                is_lower: surprise_g < 0.0,
            };
        }
        if self.aside >= CHANGED_READINGS {
            self.reopen(reading_g);
            return Believed::Yes;
        }
        Believed::No {
            is_news: self.aside <= 1.0,
        }
    }
}

/// A cup of which only a reading is known, and roughly the flow.
const fn opened(over_g: f64, flow_g_per_s: f64) -> Estimate {
    Estimate {
        mean: [over_g, flow_g_per_s, over_g],
        covariance: [
            FIRST_MASS_SPREAD_G * FIRST_MASS_SPREAD_G,
            0.0,
            0.0,
            FIRST_FLOW_SPREAD_G_PER_S * FIRST_FLOW_SPREAD_G_PER_S,
            0.0,
            READING_NOISE_G * READING_NOISE_G,
        ],
    }
}
