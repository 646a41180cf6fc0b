//! Steam: the fundamental equation of region 2 of the 1997 formulation.

use super::powers::{Term, derivatives, integer_power};
use crate::maths::constants::{WATER_GAS_CONSTANT, ZERO_CELSIUS_KELVIN};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Temperatures of region 2.
pub const TEMPERATURE: Range = Range::new("steam temperature", ZERO_CELSIUS_KELVIN, 1073.15, "K");
/// Pressures of region 2; the lower end is just below saturation at 273.15 K.
pub const PRESSURE: Range = Range::new("steam pressure", 0.0006, 100.0, "MPa");

/// Reducing temperature, K; the reducing pressure is 1 `MPa`. `[iapws2012]`, equation 15
const REDUCING_TEMPERATURE: f64 = 540.0;
/// Shift of the inverse reduced temperature in the residual part. `[iapws2012]`, equation 17
const TEMPERATURE_SHIFT: f64 = 0.5;

/// Exponents J and coefficients n of the ideal-gas part. `[iapws2012]`, table 10, no unit
const IDEAL_GAS: [(i32, f64); 9] = [
    (0, -0.969_276_865_002_17e1),
    (1, 0.100_866_559_680_18e2),
    (-5, -0.560_879_112_830_20e-2),
    (-4, 0.714_527_380_814_55e-1),
    (-3, -0.407_104_982_239_28),
    (-2, 0.142_408_191_714_44e1),
    (-1, -0.438_395_113_194_50e1),
    (2, -0.284_086_324_607_72),
    (3, 0.212_684_637_533_07e-1),
];

/// Exponents I, J and coefficients n of the residual part. `[iapws2012]`, table 11, no unit
const RESIDUAL: [Term; 43] = [
    (1, 0, -0.177_317_424_732_13e-2),
    (1, 1, -0.178_348_622_923_58e-1),
    (1, 2, -0.459_960_136_963_65e-1),
    (1, 3, -0.575_812_590_834_32e-1),
    (1, 6, -0.503_252_787_279_30e-1),
    (2, 1, -0.330_326_416_702_03e-4),
    (2, 2, -0.189_489_875_163_15e-3),
    (2, 4, -0.393_927_772_433_55e-2),
    (2, 7, -0.437_972_956_505_73e-1),
    (2, 36, -0.266_745_479_140_87e-4),
    (3, 0, 0.204_817_376_923_09e-7),
    (3, 1, 0.438_706_672_844_35e-6),
    (3, 3, -0.322_776_772_385_70e-4),
    (3, 6, -0.150_339_245_421_48e-2),
    (3, 35, -0.406_682_535_626_49e-1),
    (4, 1, -0.788_473_095_593_67e-9),
    (4, 2, 0.127_907_178_522_85e-7),
    (4, 3, 0.482_253_727_185_07e-6),
    (5, 7, 0.229_220_763_376_61e-5),
    (6, 3, -0.167_147_664_510_61e-10),
    (6, 16, -0.211_714_723_213_55e-2),
    (6, 35, -0.238_957_419_341_04e2),
    (7, 0, -0.590_595_643_242_70e-17),
    (7, 11, -0.126_218_088_991_01e-5),
    (7, 25, -0.389_468_424_357_39e-1),
    (8, 8, 0.112_562_113_604_59e-10),
    (8, 36, -0.823_113_408_979_98e1),
    (9, 13, 0.198_097_128_020_88e-7),
    (10, 4, 0.104_069_652_101_74e-18),
    (10, 10, -0.102_347_470_959_29e-12),
    (10, 14, -0.100_181_793_795_11e-8),
    (16, 29, -0.808_829_086_469_85e-10),
    (16, 50, 0.106_930_318_794_09),
    (18, 57, -0.336_622_505_741_71),
    (20, 20, 0.891_858_453_554_21e-24),
    (20, 35, 0.306_293_168_762_32e-12),
    (20, 48, -0.420_024_676_982_08e-5),
    (21, 21, -0.590_560_296_856_39e-25),
    (22, 53, 0.378_269_476_134_57e-5),
    (23, 39, -0.127_686_089_346_81e-14),
    (24, 26, 0.730_876_105_950_61e-28),
    (24, 40, 0.554_147_153_507_78e-16),
    (24, 58, -0.943_697_072_412_10e-6),
];

/// Properties of steam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steam {
    /// Specific volume.
    pub volume_m3_per_kg: f64,
    /// Specific enthalpy.
    pub enthalpy_kj_per_kg: f64,
}

/// Specific volume and enthalpy of steam.
///
/// # Equation
/// `g / (R T) = gamma = ln pi + sum(n0 tau^J0) + sum(n pi^I (tau - 0.5)^J)`, `pi = p / 1 MPa`,
/// `tau = 540 K / T`; `v = (R T / p) pi gamma_pi`, `h = R T tau gamma_tau`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | v, h | volume, enthalpy (returned) | m³/kg, kJ/kg |
/// | T | temperature | K |
/// | p | absolute pressure | `MPa` |
/// | R | specific gas constant of water | J/(kg K) |
/// | I, J, n, J0, n0 | exponents and coefficients | 1 |
///
/// # Source
/// `[iapws2012]`, equations 15 to 17 with tables 10 to 14; official values in table 15.
///
/// # Valid for
/// [`TEMPERATURE`] and [`PRESSURE`], up to the saturation pressure (below 623.15 K). That it is
/// steam is the caller's to see to; [`saturation`](super::saturation) does.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::water::region2::properties;
/// assert!((properties(300.0, 0.0035)?.enthalpy_kj_per_kg - 2_549.911_45).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn properties(temperature_k: f64, pressure_mpa: f64) -> Result<Steam, MathsError> {
    TEMPERATURE.check(temperature_k)?;
    PRESSURE.check(pressure_mpa)?;
    let tau = REDUCING_TEMPERATURE / temperature_k;
    let residual = derivatives(&RESIDUAL, pressure_mpa, tau - TEMPERATURE_SHIFT);
    let gamma_pi = 1.0 / pressure_mpa + residual.x;
    let gamma_tau = ideal_gas_derivative(tau) + residual.y;
    let thermal_j_per_kg = WATER_GAS_CONSTANT * temperature_k;
    Ok(Steam {
        volume_m3_per_kg: thermal_j_per_kg * gamma_pi / 1e6,
        enthalpy_kj_per_kg: thermal_j_per_kg * tau * gamma_tau / 1e3,
    })
}

/// Derivative of the ideal-gas part in tau.
fn ideal_gas_derivative(tau: f64) -> f64 {
    let mut sum = 0.0;
    for (order, n) in IDEAL_GAS {
        sum += n * f64::from(order) * integer_power(tau, order - 1);
    }
    sum
}
