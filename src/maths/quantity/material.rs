//! Properties of a material: what a correlation gives for water and steam.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// Density, stored in kilograms per cubic metre.
    Density, from_kilograms_per_cubic_metre, kilograms_per_cubic_metre,
    Range::new("density", 0.0, 3_000.0, "kg/m3")
}

quantity! {
    /// Specific volume, stored in cubic metres per kilogram; steam at the triple point has 206.
    SpecificVolume, from_cubic_metres_per_kilogram, cubic_metres_per_kilogram,
    Range::new("specific volume", 0.0, 210.0, "m3/kg")
}

quantity! {
    /// Specific enthalpy above that of liquid water at its triple point, or a difference of two,
    /// stored in kilojoules per kilogram.
    SpecificEnthalpy, from_kilojoules_per_kilogram, kilojoules_per_kilogram,
    Range::new("specific enthalpy", -10.0, 5_000.0, "kJ/kg")
}

quantity! {
    /// Specific heat capacity at constant pressure, stored in kilojoules per kilogram and kelvin.
    HeatCapacity, from_kilojoules_per_kilogram_kelvin, kilojoules_per_kilogram_kelvin,
    Range::new("specific heat capacity", 0.0, 10.0, "kJ/(kg K)")
}

quantity! {
    /// Dynamic viscosity, stored in pascal seconds.
    Viscosity, from_pascal_seconds, pascal_seconds,
    Range::new("dynamic viscosity", 0.0, 10.0, "Pa s")
}
