//! What is asked: the coffee, the water, the pressure and what to report.

use super::profile::PressureProfile;
use crate::maths::error::MathsError;
use crate::maths::quantity::{Length, Mass, Temperature};
use crate::maths::range::Range;

/// One espresso shot to simulate.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// Dry coffee; inside [`Shot::DOSE`].
    pub dose: Mass,
    /// Inner diameter of the basket; inside [`Length::BASKET_DIAMETER`].
    pub basket_diameter: Length,
    /// Diameter of the coarse grains, µm; inside [`Shot::GRIND_DIAMETER`].
    pub grind_diameter_um: f64,
    /// Temperature of water and bed; inside [`Shot::WATER_TEMPERATURE`].
    pub water_temperature: Temperature,
    /// Gauge pressure over time.
    pub pressure_profile: PressureProfile,
    /// Beverage at which the shot is judged; inside [`Shot::TARGET_BEVERAGE`].
    pub target_beverage: Mass,
    /// The simulation ends here at the latest, s; inside [`Shot::DURATION`].
    pub duration_s: f64,
    /// When to sample the cup, s; rising, none after the duration.
    pub sample_times_s: Vec<f64>,
}

impl Shot {
    /// Dry coffee of one shot.
    pub const DOSE: Range = Range::new("dose", 3.0, 60.0, "g");
    /// Diameter of the coarse grains: the span the calibration covers.
    pub const GRIND_DIAMETER: Range = Range::new("grind diameter", 200.0, 600.0, "µm");
    /// Temperature: the span of the fits of density and viscosity.
    pub const WATER_TEMPERATURE: Range = Range::new("water temperature", 60.0, 100.0, "°C");
    /// Beverage at which the shot is judged.
    pub const TARGET_BEVERAGE: Range = Range::new("target beverage mass", 1.0, 500.0, "g");
    /// Longest simulation.
    pub const DURATION: Range = Range::new("duration", 1.0, 600.0, "s");
    /// How many samples one shot may ask.
    pub const SAMPLES: Range = Range::new("number of sample times", 0.0, 2000.0, "1");
    /// The duration when none is given, s.
    pub const DEFAULT_DURATION_S: f64 = 120.0;

    /// Whether every input is in range and the sample times rise and end in time.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`], [`MathsError::NonFinite`] or, for sample times that fall or
    /// stand still, [`MathsError::Inconsistent`].
    pub fn check(&self) -> Result<(), MathsError> {
        Self::DOSE.check(self.dose.grams())?;
        Length::BASKET_DIAMETER.check(self.basket_diameter.millimetres())?;
        Self::GRIND_DIAMETER.check(self.grind_diameter_um)?;
        Self::WATER_TEMPERATURE.check(self.water_temperature.celsius())?;
        Self::TARGET_BEVERAGE.check(self.target_beverage.grams())?;
        Self::DURATION.check(self.duration_s)?;
        #[expect(clippy::cast_precision_loss, reason = "a count of samples is small")]
        Self::SAMPLES.check(self.sample_times_s.len() as f64)?;
        let within = Range::new("sample time", 0.0, self.duration_s, "s");
        for time_s in &self.sample_times_s {
            within.check(*time_s)?;
        }
        for pair in self.sample_times_s.windows(2) {
            if pair[1] <= pair[0] {
                return Err(MathsError::Inconsistent {
                    rule: "the sample times rise",
                    left: pair[0],
                    right: pair[1],
                    unit: "s",
                });
            }
        }
        Ok(())
    }
}
