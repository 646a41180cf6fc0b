//! The Kalman filter of a scale that lags: mass in the cup, flow into it, what the scale shows.

/// Spread of the change of flow, g/s per root second: how fast a flow is believed to wander.
/// Assumed; tuned on simulated shots.
pub const FLOW_WANDER_G_PER_S15: f64 = 0.2;

/// Standard deviation of a reading, g: noise, steps of 0.1 g and single drops. Assumed.
pub const READING_NOISE_G: f64 = 0.05;

/// What is known of the cup at one moment: normal, by mean and covariance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Mass in the cup (g), flow into it (g/s), and the reading of a scale without noise (g).
    pub mean: [f64; 3],
    /// Upper triangle of the covariance by rows: mass-mass, mass-flow, mass-reading, flow-flow,
    /// flow-reading, reading-reading.
    pub covariance: [f64; 6],
}

/// Effect of a wandering flow on mass, flow and reading over a step, for a unit of wandering.
fn wandering(step_s: f64, lag_s: f64, decay: f64) -> [f64; 6] {
    let (t, tau) = (step_s, lag_s);
    let (t2, tau2) = (t * t, tau * tau);
    let reached = 1.0 - decay;
    let ahead = t - tau;
    [
        t * t2 / 3.0,
        t2 / 2.0,
        t * t2 / 3.0 - tau * t2 / 2.0 + tau * tau2 * reached - tau2 * t * decay,
        t,
        t2 / 2.0 - tau * t + tau2 * reached,
        (ahead * ahead * ahead + tau * tau2) / 3.0 - 2.0 * tau2 * t * decay
            + 0.5 * tau * tau2 * (1.0 - decay * decay),
    ]
}

impl Estimate {
    /// The cup after `step_s` seconds without a reading, on a scale with a lag of `lag_s`.
    ///
    /// # Equation
    /// `dm/dt = q`, `dq/dt = w`, `dr/dt = (m - r) / tau`, solved exactly over the step; `w` is
    /// white noise of density [`FLOW_WANDER_G_PER_S15`] squared.
    ///
    /// # Source
    /// `[kalman1960]`; the lag of first order is an assumption.
    ///
    /// # Valid for
    /// Steps from nothing upwards, lags above nothing.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::stop::Estimate;
    /// let now = Estimate { mean: [10.0, 2.0, 9.2], covariance: [0.0; 6] };
    /// let later = now.after(1.0, 0.4);
    /// assert_eq!(later.mean[0], 12.0);
    /// // at a steady flow the reading stays flow times lag behind
    /// assert!((later.mean[2] - 11.2).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn after(&self, step_s: f64, lag_s: f64) -> Self {
        let decay = libm::exp(-step_s / lag_s);
        let of_mass = 1.0 - decay;
        let of_flow = step_s - lag_s * of_mass;
        let [m, q, r] = self.mean;
        let [mm, mq, mr, qq, qr, rr] = self.covariance;
        // rows of the transition times the covariance
        let mass = [mm + step_s * mq, mq + step_s * qq, mr + step_s * qr];
        let reading = [
            of_mass * mm + of_flow * mq + decay * mr,
            of_mass * mq + of_flow * qq + decay * qr,
            of_mass * mr + of_flow * qr + decay * rr,
        ];
        let moved = [
            mass[0] + step_s * mass[1],
            mass[1],
            of_mass * mass[0] + of_flow * mass[1] + decay * mass[2],
            qq,
            reading[1],
            of_mass * reading[0] + of_flow * reading[1] + decay * reading[2],
        ];
        let added = wandering(step_s, lag_s, decay);
        let density = FLOW_WANDER_G_PER_S15 * FLOW_WANDER_G_PER_S15;
        Self {
            mean: [m + step_s * q, q, decay * r + of_mass * m + of_flow * q],
            covariance: std::array::from_fn(|i| moved[i] + density * added[i]),
        }
    }

    /// Standard deviation of the next reading about the one foretold, g.
    #[must_use]
    pub fn reading_spread_g(&self) -> f64 {
        libm::sqrt(self.covariance[5].max(0.0) + READING_NOISE_G * READING_NOISE_G)
    }

    /// The cup in the light of a reading that is `surprise_g` above the one foretold.
    ///
    /// # Equation
    /// `K = P h / (h' P h + R)`, `x + K surprise`, `P - K h' P`; `h` picks the reading.
    ///
    /// # Source
    /// `[kalman1960]`.
    ///
    /// # Valid for
    /// Readings whose noise is [`READING_NOISE_G`] and independent from one to the next.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::stop::Estimate;
    /// // as uncertain as one reading: the truth is taken half way between
    /// let before = Estimate { mean: [0.0; 3], covariance: [0.0, 0.0, 0.0, 0.0, 0.0, 0.0025] };
    /// let after = before.with_surprise(1.0);
    /// assert!((after.mean[2] - 0.5).abs() < 1e-12);
    /// assert!((after.covariance[5] - 0.00125).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn with_surprise(&self, surprise_g: f64) -> Self {
        let [mm, mq, mr, qq, qr, rr] = self.covariance;
        let variance = rr + READING_NOISE_G * READING_NOISE_G;
        let gain = [mr / variance, qr / variance, rr / variance];
        let [m, q, r] = self.mean;
        Self {
            mean: [
                m + gain[0] * surprise_g,
                q + gain[1] * surprise_g,
                r + gain[2] * surprise_g,
            ],
            covariance: [
                mm - gain[0] * mr,
                mq - gain[0] * qr,
                mr - gain[0] * rr,
                qq - gain[1] * qr,
                qr - gain[1] * rr,
                rr - gain[2] * rr,
            ],
        }
    }
}
