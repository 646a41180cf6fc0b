//! One newtype per quantity, named for what it is and stored in the unit the API writes, so
//! that what came in goes out bit for bit. A value that exists is finite and in range.

mod density;
mod energy;
mod fraction;
mod humidity;
mod length;
mod mass;
mod material;
mod optics;
mod pressure;
mod solution;
mod temperature;

pub use density::BulkDensity;
pub use energy::{Duration, Heat, Power};
pub use fraction::MassFraction;
pub use humidity::RelativeHumidity;
pub use length::{Altitude, GeopotentialAltitude, Length};
pub use mass::Mass;
pub use material::{Density, HeatCapacity, SpecificEnthalpy, SpecificVolume, Viscosity};
pub use optics::{Brix, RefractiveIndex};
pub use pressure::{GaugePressure, Pressure};
pub use solution::{Acidity, Concentration, Conductivity, Hardness, IonicStrength};
pub use temperature::{Temperature, TemperatureDifference};

/// Declares a quantity stored in one unit: `from_<unit>`, `<unit>()` and its widest range.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $read:ident, $range:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// What this quantity can be at all, in the unit it is stored in.
            pub const RANGE: crate::maths::range::Range = $range;

            /// The quantity from its value in the unit named.
            ///
            /// # Errors
            /// [`MathsError::NonFinite`](crate::maths::error::MathsError::NonFinite) or
            /// [`MathsError::OutOfRange`](crate::maths::error::MathsError::OutOfRange) when
            /// the value is not inside [`Self::RANGE`].
            pub fn $from(value: f64) -> Result<Self, crate::maths::error::MathsError> {
                Self::RANGE.check(value).map(Self)
            }

            /// The value in the unit named.
            #[must_use]
            pub const fn $read(self) -> f64 {
                self.0
            }
        }
    };
}
pub(crate) use quantity;
