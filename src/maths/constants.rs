//! Every physical constant once: value, unit, source, exact or not. Derived constants are
//! expressions of others.

/// Zero of the Celsius scale in kelvin; exact by definition of the scale.
pub const ZERO_CELSIUS_KELVIN: f64 = 273.15;
/// Molar gas constant, J/(mol K); exact since 2019, the product of Boltzmann's and Avogadro's
/// constants. `[si-constants]`
pub const MOLAR_GAS_CONSTANT: f64 = 8.314_462_618_153_24;
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
/// Standard atomic weight of hydrogen, g/mol, conventional value. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_H: f64 = 1.008;
/// Standard atomic weight of carbon, g/mol, conventional value. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_C: f64 = 12.011;
/// Standard atomic weight of oxygen, g/mol, conventional value. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_O: f64 = 15.999;
/// Standard atomic weight of sodium, g/mol. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_NA: f64 = 22.989_769_28;
/// Standard atomic weight of magnesium, g/mol, conventional value. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_MG: f64 = 24.305;
/// Standard atomic weight of sulfur, g/mol, conventional value. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_S: f64 = 32.06;
/// Standard atomic weight of chlorine, g/mol, conventional value. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_CL: f64 = 35.45;
/// Standard atomic weight of potassium, g/mol. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_K: f64 = 39.098_3;
/// Standard atomic weight of calcium, g/mol. `[ciaaw2021]`
pub const ATOMIC_WEIGHT_CA: f64 = 40.078;
/// Molar mass of calcium carbonate, g/mol.
pub const MOLAR_MASS_CACO3: f64 = ATOMIC_WEIGHT_CA + ATOMIC_WEIGHT_C + 3.0 * ATOMIC_WEIGHT_O;
/// Molar mass of calcium oxide, g/mol.
pub const MOLAR_MASS_CAO: f64 = ATOMIC_WEIGHT_CA + ATOMIC_WEIGHT_O;
/// Molar mass of water, g/mol.
pub const MOLAR_MASS_WATER: f64 = 2.0 * ATOMIC_WEIGHT_H + ATOMIC_WEIGHT_O;
/// Grain in milligrams; exact by definition. `[units]`
pub const GRAIN_MG: f64 = 64.798_91;
/// Imperial gallon in litres; exact by definition. `[units]`
pub const IMPERIAL_GALLON_L: f64 = 4.546_09;
/// US liquid gallon in litres; exact by definition. `[units]`
pub const US_GALLON_L: f64 = 3.785_411_784;
/// Wavelength of the yellow light of sodium, mean of its two lines, µm. `[iapws1997]`
pub const SODIUM_LIGHT_UM: f64 = 0.589_3;
/// Refractive index of air for that light, at 20 °C and standard pressure; good to 1e-6.
/// `[sucrose-scale]`
pub const AIR_REFRACTIVE_INDEX: f64 = 1.000_273;
