//! Absolute and gauge pressure are different types: adding them up is a mistake.

use super::quantity;
use crate::maths::error::MathsError;
use crate::maths::range::Range;

const HECTOPASCALS_PER_BAR: f64 = 1_000.0;
const HECTOPASCALS_PER_MEGAPASCAL: f64 = 10_000.0;

quantity! {
    /// Absolute pressure, stored in hectopascals.
    Pressure, from_hectopascals, hectopascals, Range::new("absolute pressure", 1.0, 20_000.0, "hPa")
}

impl Pressure {
    /// Air pressure at a place where people brew.
    pub const AIR: Range = Range::new("air pressure", 300.0, 1_100.0, "hPa");

    /// Pressures whose boiling point is given; inside [`Temperature::SATURATION`], and enough for
    /// the highest [`GaugePressure`] on top of the highest air pressure.
    ///
    /// [`Temperature::SATURATION`]: crate::maths::quantity::Temperature::SATURATION
    pub const SATURATION: Range = Range::new("saturation pressure", 6.12, 16_200.0, "hPa");

    /// The pressure from pascals.
    ///
    /// # Errors
    /// As [`Pressure::from_hectopascals`].
    pub fn from_pascals(value: f64) -> Result<Self, MathsError> {
        Self::from_hectopascals(value / 100.0)
    }

    /// The pressure in pascals.
    #[must_use]
    pub const fn pascals(self) -> f64 {
        self.0 * 100.0
    }

    /// The pressure in megapascals.
    #[must_use]
    pub const fn megapascals(self) -> f64 {
        self.0 / HECTOPASCALS_PER_MEGAPASCAL
    }

    /// What a gauge shows for this pressure in the air given.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] when it is below the air pressure or above what a gauge shows.
    pub fn gauge_above(self, air: Self) -> Result<GaugePressure, MathsError> {
        GaugePressure::from_bar((self.0 - air.0) / HECTOPASCALS_PER_BAR)
    }
}

quantity! {
    /// Pressure above the air around, as a machine's gauge shows it, stored in bar.
    GaugePressure, from_bar, bar, Range::new("gauge pressure", 0.0, 15.0, "bar")
}

impl GaugePressure {
    /// The absolute pressure in the air given.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] when the sum is above what [`Pressure`] holds.
    pub fn above(self, air: Pressure) -> Result<Pressure, MathsError> {
        Pressure::from_hectopascals(self.0 * HECTOPASCALS_PER_BAR + air.hectopascals())
    }
}
