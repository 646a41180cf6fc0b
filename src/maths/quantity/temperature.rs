//! Temperatures and differences of temperature are different types.

use super::quantity;
use crate::maths::constants::ZERO_CELSIUS_KELVIN;
use crate::maths::error::MathsError;
use crate::maths::range::Range;

quantity! {
    /// A temperature on the ITS-90 scale, stored in degrees Celsius.
    Temperature, from_celsius, celsius, Range::new("temperature", -ZERO_CELSIUS_KELVIN, 400.0, "°C")
}

impl Temperature {
    /// Brewing water, from cold brew to superheated water under pressure.
    pub const BREWING: Range = Range::new("brew temperature", 0.0, 150.0, "°C");
    /// [`Temperature::BREWING`] on the Fahrenheit scale.
    pub const BREWING_FAHRENHEIT: Range = Range::new("brew temperature", 32.0, 302.0, "°F");

    /// Liquid water for which properties are given: from the lower limit of the 1997 formulation
    /// to boiling at the highest gauge pressure.
    pub const LIQUID_WATER: Range = Range::new("water temperature", 0.0, 202.0, "°C");
    /// Water and steam in equilibrium: from the triple point to just above boiling at the highest
    /// gauge pressure on top of the highest air pressure (16 100 hPa boils at 201.7 °C).
    pub const SATURATION: Range = Range::new("saturation temperature", 0.01, 202.0, "°C");
    /// Boilers that hold water and steam under pressure: from boiling in the thinnest air of
    /// [`Pressure::AIR`] to boiling at the highest gauge pressure in the thickest.
    ///
    /// [`Pressure::AIR`]: crate::maths::quantity::Pressure::AIR
    pub const BOILER: Range = Range::new("boiler temperature", 69.0, 202.0, "°C");
    /// [`Temperature::BOILER`] on the Fahrenheit scale, rounded inward.
    pub const BOILER_FAHRENHEIT: Range = Range::new("boiler temperature", 156.2, 395.5, "°F");
    /// Air for which the reduction to sea level takes a temperature; the limits are those of the
    /// formula for the vapour pressure.
    pub const AIR: Range = Range::new("air temperature", -45.0, 60.0, "°C");

    /// The temperature from degrees Fahrenheit.
    ///
    /// # Errors
    /// As [`Temperature::from_celsius`].
    pub fn from_fahrenheit(value: f64) -> Result<Self, MathsError> {
        Self::from_celsius((value - 32.0) / 1.8)
    }

    /// The temperature from kelvin.
    ///
    /// # Errors
    /// As [`Temperature::from_celsius`].
    pub fn from_kelvin(value: f64) -> Result<Self, MathsError> {
        Self::from_celsius(value - ZERO_CELSIUS_KELVIN)
    }

    /// The temperature in degrees Fahrenheit.
    #[must_use]
    pub const fn fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }

    /// The temperature in kelvin.
    #[must_use]
    pub const fn kelvin(self) -> f64 {
        self.0 + ZERO_CELSIUS_KELVIN
    }

    /// This temperature less another one.
    #[must_use]
    pub const fn minus(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

quantity! {
    /// A difference of two temperatures, stored in kelvin.
    TemperatureDifference, from_kelvin, kelvin, Range::new("temperature difference", -700.0, 700.0, "K")
}
