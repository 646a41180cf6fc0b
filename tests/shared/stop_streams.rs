//! Streams of a scale under a shot, drawn from a seed: a machine, a scale, and the shot that is
//! stopped when a caller says so. Everything is invented; nothing is taken from the code tested.

/// Numbers that look random, the same for the same seed: `SplitMix64`.
#[derive(Debug, Clone)]
pub(crate) struct Draws(u64);

impl Draws {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Evenly between two numbers.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit a double")]
    pub(crate) fn even(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        low + (high - low) * ((z >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// Normal about zero with a standard deviation of one, by the polar form of Box and Muller.
    pub(crate) fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (self.even(-1.0, 1.0), self.even(-1.0, 1.0));
            let s = x * x + y * y;
            if s > 0.0 && s < 1.0 {
                return x * (-2.0 * s.ln() / s).sqrt();
            }
        }
    }
}

/// A machine and the scale under it: latency 0.1 to 0.4 s, decay of the flow 0.3 to 1 s, a
/// hold-up of 0.3 to 1.2 g that scatters by a fifth, lag of the scale 0.3 to 0.5 s.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Machine {
    pub(crate) latency_s: f64,
    pub(crate) decay_s: f64,
    pub(crate) hold_up_g: f64,
    pub(crate) lag_s: f64,
}

impl Machine {
    pub(crate) fn drawn(draws: &mut Draws) -> Self {
        Self {
            latency_s: draws.even(0.1, 0.4),
            decay_s: draws.even(0.3, 1.0),
            hold_up_g: draws.even(0.3, 1.2),
            lag_s: draws.even(0.3, 0.5),
        }
    }
}

/// From the bed to the reading, s.
pub(crate) const DELAY_S: f64 = 0.12;
const DROP_G: f64 = 0.08;
/// Mass up to which coffee comes in drops.
const DROPS_UNTIL_G: f64 = 1.2;
/// Step in which the cup is filled.
const FINE_S: f64 = 0.005;

/// A shot and what the scale shows of it, until it has drained.
#[derive(Debug, Clone)]
pub(crate) struct Shot {
    machine: Machine,
    draws: Draws,
    /// First flow, flow after long, seconds between them, when the flow begins.
    first_flow: f64,
    last_flow: f64,
    opening_s: f64,
    begins_s: f64,
    hold_up_g: f64,
    /// Truth: time, what left the bed, what the scale's pan carries, what a scale without noise
    /// shows.
    now_s: f64,
    mass_g: f64,
    shown_g: f64,
    /// What left the bed in the last moments, oldest first.
    under_way: std::collections::VecDeque<f64>,
    stopped_s: Option<f64>,
}

impl Shot {
    pub(crate) fn drawn(machine: Machine, seed: u64) -> Self {
        let mut draws = Draws::new(seed);
        let first_flow = draws.even(0.9, 2.2);
        let hold_up_g = machine.hold_up_g * (1.0 + 0.2 * draws.normal()).max(0.0);
        Self {
            machine,
            first_flow,
            last_flow: first_flow * draws.even(1.1, 1.6),
            opening_s: draws.even(4.0, 15.0),
            begins_s: draws.even(4.0, 9.0),
            hold_up_g,
            now_s: 0.0,
            mass_g: 0.0,
            shown_g: 0.0,
            under_way: std::collections::VecDeque::new(),
            stopped_s: None,
            draws,
        }
    }

    /// Flow out of the bed, g/s.
    pub(crate) fn flow(&self) -> f64 {
        let running = |time_s: f64| {
            let since = time_s - self.begins_s;
            if since <= 0.0 {
                return 0.0;
            }
            let opened = 1.0 - (-since / self.opening_s).exp();
            let begun = 1.0 - (-since / 0.7).exp();
            begun * (self.first_flow + (self.last_flow - self.first_flow) * opened)
        };
        match self.stopped_s {
            Some(stopped_s) if self.now_s >= stopped_s => {
                let since = self.now_s - stopped_s;
                running(stopped_s) * (-since / self.machine.decay_s).exp()
                    + self.hold_up_g * (-since / 0.6).exp() / 0.6
            }
            _ => running(self.now_s),
        }
    }

    /// The pump stops this long after the command.
    pub(crate) fn command(&mut self, at_s: f64) {
        self.stopped_s = self.stopped_s.or(Some(at_s + self.machine.latency_s));
    }

    /// The next reading, a tenth of a second on: time and mass.
    pub(crate) fn next(&mut self) -> (f64, f64) {
        let ends_s = self.now_s + 0.1;
        while self.now_s < ends_s {
            self.mass_g += FINE_S * self.flow();
            let fallen = if self.mass_g < DROPS_UNTIL_G {
                (self.mass_g / DROP_G).floor() * DROP_G
            } else {
                self.mass_g
            };
            self.under_way.push_back(fallen);
            let delayed = if self.under_way.len() > 24 {
                self.under_way.pop_front().unwrap_or_default()
            } else {
                0.0
            };
            self.shown_g += FINE_S / self.machine.lag_s * (delayed - self.shown_g);
            self.now_s += FINE_S;
        }
        let time_s = self.now_s + self.draws.even(-0.01, 0.01);
        let noisy = self.shown_g + 0.03 * self.draws.normal();
        (time_s, (noisy * 10.0).round() / 10.0)
    }

    /// What is in the cup, g.
    pub(crate) fn mass_g(&self) -> f64 {
        self.mass_g
    }

    /// What will be in the cup once everything has come, with the pump stopped, g.
    pub(crate) fn drained_g(mut self) -> f64 {
        for _ in 0..120 {
            self.next();
        }
        self.mass_g
    }
}
