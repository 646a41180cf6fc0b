//! Seeded streams of a scale under a cup, with the truth beside them. Used by `#[path]`.
//!
//! The truth is a flow over time of our own making: nothing before the first drop, then a jump
//! and a slow rise, from the pump's stop on a decay. The scale lags, its readings travel, jitter,
//! carry noise and come in steps. Independent of the code under test: sums on a fine grid only.
#![allow(dead_code, reason = "each user needs a part of it")]

/// A generator of numbers that is the same on every machine: splitmix64.
#[derive(Debug, Clone)]
pub(crate) struct Draws(u64);

impl Draws {
    pub(crate) fn seeded(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15))
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Even between two numbers.
    pub(crate) fn between(&mut self, from: f64, to: f64) -> f64 {
        let high = u32::try_from(self.bits() >> 32).unwrap_or(u32::MAX);
        from + (to - from) * f64::from(high) / 4_294_967_296.0
    }

    /// Normal with a standard deviation: the sum of twelve even draws.
    pub(crate) fn normal(&mut self, deviation: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.between(0.0, 1.0)).sum();
        deviation * (sum - 6.0)
    }
}

/// Step of the fine grid, s.
const FINE_S: f64 = 0.005;

/// Mass of a drop, and the beverage until which drops fall one by one, g.
const DROP_G: f64 = 0.08;
const DROPS_UNTIL_G: f64 = 1.2;

/// A shot as it really was.
#[derive(Debug, Clone)]
pub(crate) struct Truth {
    pub(crate) first_drop_s: f64,
    pub(crate) stop_s: f64,
    pub(crate) end_s: f64,
    /// Flow just after the first drop and much later, g/s, and how fast it gets there, s.
    pub(crate) flow: (f64, f64, f64),
    /// Time constant of the flow after the stop, s.
    pub(crate) drain_s: f64,
    /// Beverage in the cup on the fine grid, g.
    mass_g: Vec<f64>,
}

impl Truth {
    /// Any espresso.
    pub(crate) fn drawn(draws: &mut Draws) -> Self {
        let first_drop_s = draws.between(4.0, 10.0);
        let start = draws.between(0.7, 1.8);
        let flow = (
            start,
            start + draws.between(-0.2, 1.0),
            draws.between(4.0, 12.0),
        );
        let stop_s = first_drop_s + draws.between(14.0, 24.0);
        Self::new(first_drop_s, flow, stop_s, draws.between(0.3, 0.9))
    }

    pub(crate) fn new(first_drop_s: f64, flow: (f64, f64, f64), stop_s: f64, drain_s: f64) -> Self {
        let mut truth = Self {
            first_drop_s,
            stop_s,
            end_s: stop_s + 6.0,
            flow,
            drain_s,
            mass_g: Vec::new(),
        };
        let mut sum = 0.0;
        let mut time_s = 0.0;
        while time_s < truth.end_s + 60.0 {
            truth.mass_g.push(sum);
            sum += FINE_S * truth.flow_at(time_s + 0.5 * FINE_S);
            time_s += FINE_S;
        }
        truth
    }

    /// Flow into the cup, g/s.
    pub(crate) fn flow_at(&self, time_s: f64) -> f64 {
        let (start, later, rise_s) = self.flow;
        let running = |t: f64| later + (start - later) * (-(t - self.first_drop_s) / rise_s).exp();
        if time_s < self.first_drop_s {
            0.0
        } else if time_s <= self.stop_s {
            running(time_s)
        } else {
            running(self.stop_s) * (-(time_s - self.stop_s) / self.drain_s).exp()
        }
    }

    /// Beverage that has run out, g.
    pub(crate) fn mass_at(&self, time_s: f64) -> f64 {
        let place = time_s / FINE_S;
        if place <= 0.0 {
            return 0.0;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "positive"
        )]
        let before = (place as usize).min(self.mass_g.len() - 2);
        let share = place.fract();
        self.mass_g[before] + share * (self.mass_g[before + 1] - self.mass_g[before])
    }

    /// Beverage in the cup: the first of it comes in drops.
    fn in_cup_at(&self, time_s: f64) -> f64 {
        let mass_g = self.mass_at(time_s);
        if mass_g < DROPS_UNTIL_G {
            (mass_g / DROP_G).floor() * DROP_G
        } else {
            mass_g
        }
    }

    /// What comes after the pump's stop, g.
    pub(crate) fn after_stop_g(&self) -> f64 {
        self.mass_at(self.end_s + 50.0) - self.mass_at(self.stop_s)
    }
}

/// What a scale does to the truth.
#[derive(Debug, Clone)]
pub(crate) struct Scale {
    pub(crate) lag_s: f64,
    pub(crate) delay_s: f64,
    pub(crate) interval_s: f64,
    pub(crate) jitter_s: f64,
    pub(crate) noise_g: f64,
    pub(crate) step_g: f64,
    /// Share of readings that get lost.
    pub(crate) lost: f64,
}

impl Scale {
    /// A kitchen scale of 10 readings a second whose lag is not quite the usual one.
    pub(crate) fn drawn(draws: &mut Draws) -> Self {
        Self {
            lag_s: draws.between(0.3, 0.5),
            delay_s: 0.12,
            interval_s: 0.1,
            jitter_s: 0.01,
            noise_g: 0.03,
            step_g: 0.1,
            lost: 0.02,
        }
    }

    /// A scale that shows the truth.
    pub(crate) const PERFECT: Self = Self {
        lag_s: 0.0,
        delay_s: 0.0,
        interval_s: 0.1,
        jitter_s: 0.0,
        noise_g: 0.0,
        step_g: 0.0,
        lost: 0.0,
    };
}

/// Readings as they arrive.
#[derive(Debug, Clone)]
pub(crate) struct Recorded {
    pub(crate) time_s: Vec<f64>,
    pub(crate) mass_g: Vec<f64>,
}

impl Recorded {
    /// The readings of a shot. `extra_g` is what lies on the scale besides, over time: a cup, a
    /// knock; it goes through the lag as the beverage does.
    pub(crate) fn of(
        truth: &Truth,
        scale: &Scale,
        draws: &mut Draws,
        extra_g: &dyn Fn(f64) -> f64,
    ) -> Self {
        let mut recorded = Self {
            time_s: Vec::new(),
            mass_g: Vec::new(),
        };
        let mut shown = extra_g(0.0);
        let mut fine_s: f64 = 0.0;
        let mut next_s: f64 = 0.0;
        while next_s < truth.end_s {
            let at_s = next_s + draws.between(-1.0, 1.0) * scale.jitter_s;
            while fine_s < at_s - scale.delay_s {
                let load = truth.in_cup_at(fine_s) + extra_g(fine_s);
                let share = if scale.lag_s > 0.0 {
                    1.0 - (-FINE_S / scale.lag_s).exp()
                } else {
                    1.0
                };
                shown += share * (load - shown);
                fine_s += FINE_S;
            }
            let mut mass_g = shown + draws.normal(scale.noise_g);
            if scale.step_g > 0.0 {
                mass_g = (mass_g / scale.step_g).round() * scale.step_g;
            }
            if draws.between(0.0, 1.0) >= scale.lost {
                recorded.time_s.push(at_s);
                recorded.mass_g.push(mass_g);
            }
            next_s += scale.interval_s;
        }
        recorded
    }

    /// Sets the scale to zero at once.
    pub(crate) fn tare(&mut self, at_s: f64) {
        let mut zero_g = self.time_s.iter().zip(&self.mass_g);
        let zero_g = zero_g.rfind(|(time, _)| **time <= at_s);
        let zero_g = zero_g.map_or(0.0, |(_, mass)| *mass);
        for (time, mass) in self.time_s.iter().zip(&mut self.mass_g) {
            if *time > at_s {
                *mass -= zero_g;
            }
        }
    }

    /// Loses the readings between two instants.
    pub(crate) fn gap(&mut self, from_s: f64, to_s: f64) {
        let pairs = self.time_s.iter().copied().zip(self.mass_g.iter().copied());
        let kept = pairs.filter(|(time, _)| !(from_s < *time && *time < to_s));
        (self.time_s, self.mass_g) = kept.collect::<Vec<_>>().into_iter().unzip();
    }

    /// Sets the clock back at an instant.
    pub(crate) fn clock_back(&mut self, at_s: f64, by_s: f64) {
        for time in &mut self.time_s {
            if *time > at_s {
                *time -= by_s;
            }
        }
    }

    /// Sends every reading of a stretch twice.
    pub(crate) fn twice(&mut self, from_s: f64, to_s: f64) {
        let pairs: Vec<_> = self
            .time_s
            .iter()
            .copied()
            .zip(self.mass_g.iter().copied())
            .collect();
        let doubled: Vec<_> = pairs
            .into_iter()
            .flat_map(|pair| {
                let is_inside = from_s < pair.0 && pair.0 < to_s;
                std::iter::repeat_n(pair, if is_inside { 2 } else { 1 })
            })
            .collect();
        (self.time_s, self.mass_g) = doubled.into_iter().unzip();
    }

    /// Swaps a reading with the next one: packets overtake each other.
    pub(crate) fn swap(&mut self, at_s: f64) {
        let place = self.time_s.partition_point(|time| *time < at_s);
        self.time_s.swap(place, place + 1);
        self.mass_g.swap(place, place + 1);
    }

    /// The scale shows nothing above its limit.
    pub(crate) fn limit(&mut self, limit_g: f64) {
        self.mass_g
            .iter_mut()
            .for_each(|mass| *mass = mass.min(limit_g));
    }
}
