//! Every physical constant once: value, unit, source, exact or not. Derived constants are
//! expressions of others.

/// Zero of the Celsius scale in kelvin; exact by definition of the scale.
pub const ZERO_CELSIUS_KELVIN: f64 = 273.15;
/// Standard acceleration of free fall, m/s²; exact (CGPM 1901). `[iso2533]`
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// Specific gas constant of dry air in the standard atmosphere, J/(kg K). `[iso2533]`
pub const DRY_AIR_GAS_CONSTANT: f64 = 287.052_87;
/// Temperature of the standard atmosphere at sea level, K. `[iso2533]`
pub const STANDARD_SEA_LEVEL_KELVIN: f64 = 288.15;
/// Pressure of the standard atmosphere at sea level, Pa; exact by definition. `[iso2533]`
pub const STANDARD_SEA_LEVEL_PASCALS: f64 = 101_325.0;
/// Fall of temperature with geopotential altitude in the lower standard atmosphere, K/m. `[iso2533]`
pub const STANDARD_LAPSE_RATE: f64 = 0.006_5;
/// Nominal radius of the Earth of the standard atmosphere, m. `[iso2533]`
pub const NOMINAL_EARTH_RADIUS: f64 = 6_356_766.0;
/// Specific gas constant of water, J/(kg K), as the 1997 formulation uses it. `[iapws2012]`
pub const WATER_GAS_CONSTANT: f64 = 461.526;
/// Temperature of the critical point of water, K. `[iapws2012]`
pub const WATER_CRITICAL_KELVIN: f64 = 647.096;
/// Density of water at its critical point, kg/m³. `[iapws2012]`
pub const WATER_CRITICAL_DENSITY: f64 = 322.0;
