//! Liquid water: the fundamental equation of region 1 of the 1997 formulation.

use super::powers::{Term, derivatives};
use crate::maths::constants::{WATER_GAS_CONSTANT, ZERO_CELSIUS_KELVIN};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Temperatures of region 1.
pub const TEMPERATURE: Range =
    Range::new("liquid water temperature", ZERO_CELSIUS_KELVIN, 623.15, "K");
/// Pressures of region 1; the lower end is just below saturation at 273.15 K.
pub const PRESSURE: Range = Range::new("liquid water pressure", 0.0006, 100.0, "MPa");

/// Reducing pressure, `MPa`. `[iapws2012]`, equation 7
const REDUCING_PRESSURE: f64 = 16.53;
/// Reducing temperature, K. `[iapws2012]`, equation 7
const REDUCING_TEMPERATURE: f64 = 1386.0;
/// Shift of the reduced pressure. `[iapws2012]`, equation 7
const PRESSURE_SHIFT: f64 = 7.1;
/// Shift of the inverse reduced temperature. `[iapws2012]`, equation 7
const TEMPERATURE_SHIFT: f64 = 1.222;

/// Exponents I, J and coefficients n. `[iapws2012]`, table 2, no unit
const TERMS: [Term; 34] = [
    (0, -2, 0.146_329_712_131_67),
    (0, -1, -0.845_481_871_691_14),
    (0, 0, -0.375_636_036_720_40e1),
    (0, 1, 0.338_551_691_683_85e1),
    (0, 2, -0.957_919_633_878_72),
    (0, 3, 0.157_720_385_132_28),
    (0, 4, -0.166_164_171_995_01e-1),
    (0, 5, 0.812_146_299_835_68e-3),
    (1, -9, 0.283_190_801_238_04e-3),
    (1, -7, -0.607_063_015_658_74e-3),
    (1, -1, -0.189_900_682_184_19e-1),
    (1, 0, -0.325_297_487_705_05e-1),
    (1, 1, -0.218_417_171_754_14e-1),
    (1, 3, -0.528_383_579_699_30e-4),
    (2, -3, -0.471_843_210_732_67e-3),
    (2, 0, -0.300_017_807_930_26e-3),
    (2, 1, 0.476_613_939_069_87e-4),
    (2, 3, -0.441_418_453_308_46e-5),
    (2, 17, -0.726_949_962_975_94e-15),
    (3, -4, -0.316_796_448_450_54e-4),
    (3, 0, -0.282_707_979_853_12e-5),
    (3, 6, -0.852_051_281_201_03e-9),
    (4, -5, -0.224_252_819_080_00e-5),
    (4, -2, -0.651_712_228_956_01e-6),
    (4, 10, -0.143_417_299_379_24e-12),
    (5, -8, -0.405_169_968_601_17e-6),
    (8, -11, -0.127_343_017_416_41e-8),
    (8, -6, -0.174_248_712_306_34e-9),
    (21, -29, -0.687_621_312_955_31e-18),
    (23, -31, 0.144_783_078_285_21e-19),
    (29, -38, 0.263_357_816_627_95e-22),
    (30, -39, -0.119_476_226_400_71e-22),
    (31, -40, 0.182_280_945_814_04e-23),
    (32, -41, -0.935_370_872_924_58e-25),
];

/// Properties of liquid water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liquid {
    /// Specific volume.
    pub volume_m3_per_kg: f64,
    /// Specific enthalpy.
    pub enthalpy_kj_per_kg: f64,
    /// Specific heat capacity at constant pressure.
    pub heat_capacity_kj_per_kg_k: f64,
}

/// Specific volume, enthalpy and heat capacity of liquid water.
///
/// # Equation
/// `g / (R T) = gamma = sum(n (7.1 - pi)^I (tau - 1.222)^J)`, `pi = p / 16.53 MPa`,
/// `tau = 1386 K / T`; `v = (R T / p) pi gamma_pi`, `h = R T tau gamma_tau`,
/// `cp = -R tau^2 gamma_tautau`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | v, h, cp | volume, enthalpy, heat capacity (returned) | m³/kg, kJ/kg, kJ/(kg K) |
/// | T | temperature | K |
/// | p | absolute pressure | `MPa` |
/// | R | specific gas constant of water | J/(kg K) |
/// | I, J, n | exponents and coefficients | 1 |
///
/// # Source
/// `[iapws2012]`, equation 7 with tables 2 and 3; official values in table 5.
///
/// # Valid for
/// [`TEMPERATURE`] and [`PRESSURE`], from the saturation pressure up. That the water is liquid
/// is the caller's to see to; [`liquid`](super::liquid) does.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::water::region1::properties;
/// assert!((properties(300.0, 3.0)?.enthalpy_kj_per_kg - 115.331_273).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn properties(temperature_k: f64, pressure_mpa: f64) -> Result<Liquid, MathsError> {
    TEMPERATURE.check(temperature_k)?;
    PRESSURE.check(pressure_mpa)?;
    let tau = REDUCING_TEMPERATURE / temperature_k;
    let shifted_pressure = PRESSURE_SHIFT - pressure_mpa / REDUCING_PRESSURE;
    let gamma = derivatives(&TERMS, shifted_pressure, tau - TEMPERATURE_SHIFT);
    let thermal_j_per_kg = WATER_GAS_CONSTANT * temperature_k;
    Ok(Liquid {
        // The shifted pressure falls where the pressure rises: hence the sign.
        volume_m3_per_kg: -gamma.x * thermal_j_per_kg / (REDUCING_PRESSURE * 1e6),
        enthalpy_kj_per_kg: thermal_j_per_kg * tau * gamma.y / 1e3,
        heat_capacity_kj_per_kg_k: -WATER_GAS_CONSTANT * tau * tau * gamma.yy / 1e3,
    })
}
