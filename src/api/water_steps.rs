//! Steps of derivations that calculations on water and steam share.

use super::provenance::{WorkingStep, shown};
use crate::maths::constants::ZERO_CELSIUS_KELVIN;
use crate::maths::quantity::Pressure;

/// Id of the formulation of water and steam.
pub(crate) const WATER: &str = "iapws2012";
/// Id of the definitions of units.
pub(crate) const UNITS: &str = "units";

/// Equation 31 of the formulation, for the boiling point under an absolute pressure.
const EQUATION_31: &str = "t = T_s(p) − 273.15, T_s = [n10 + D − √((n10 + D)² − 4 (n9 + n10 D))] / 2 (IAPWS-IF97, \
    equation 31), D = 2 G / (−F − √(F² − 4 E G)), E = β² + n3 β + n6, F = n1 β² + n4 β + n7, G = n2 β² + n5 β + n8, \
    β = (p / 1 MPa)^(1/4)";
const TO_FAHRENHEIT: &str = "t_F = 1.8 t + 32";

/// A property on the saturation line: its symbol and its formula.
pub(crate) type Property = (&'static str, &'static str);
/// Enthalpy of boiling water.
pub(crate) const LIQUID: Property = (
    "h_f",
    "h_f(t) = h1(t, p_s(t)) (IAPWS-IF97, equations 7 and 30)",
);
/// Enthalpy of dry saturated steam.
pub(crate) const VAPOUR: Property = (
    "h_g",
    "h_g(t) = h2(t, p_s(t)) (IAPWS-IF97, equations 15 and 30)",
);
/// Latent heat of boiling.
pub(crate) const LATENT: Property = (
    "h_fg",
    "h_fg(t_b) = h2(t_b, p_s(t_b)) − h1(t_b, p_s(t_b)) (IAPWS-IF97, equations 7, 15 and 30)",
);

/// The boiling point under an absolute pressure.
pub(crate) fn boiling(name: &'static str, pressure: Pressure, celsius: f64) -> WorkingStep {
    let mpa = pressure.megapascals();
    WorkingStep::new(
        name,
        (EQUATION_31, WATER),
        format!(
            "T_s({} MPa), β = {}: {} − {ZERO_CELSIUS_KELVIN}",
            shown(mpa),
            shown(libm::sqrt(libm::sqrt(mpa))),
            shown(celsius + ZERO_CELSIUS_KELVIN),
        ),
        (celsius, "°C"),
    )
}

/// A saturation pressure in hPa.
pub(crate) fn saturation(name: &'static str, celsius: f64, hectopascals: f64) -> WorkingStep {
    WorkingStep::new(
        name,
        ("p_s(t) (IAPWS-IF97, equation 30)", WATER),
        format!("p_s({} °C)", shown(celsius)),
        (hectopascals, "hPa"),
    )
}

/// A temperature in degrees Fahrenheit.
pub(crate) fn fahrenheit(name: &'static str, celsius: f64, value: f64) -> WorkingStep {
    let substituted = format!("1.8 × {} + 32", shown(celsius));
    WorkingStep::new(name, (TO_FAHRENHEIT, UNITS), substituted, (value, "°F"))
}

/// A temperature in degrees Celsius from the Fahrenheit that was given.
pub(crate) fn celsius(name: &'static str, fahrenheit: f64, value: f64) -> WorkingStep {
    WorkingStep::new(
        name,
        ("t = (t_F − 32) / 1.8", UNITS),
        format!("({} − 32) / 1.8", shown(fahrenheit)),
        (value, "°C"),
    )
}

/// An enthalpy on the saturation line, at a temperature in °C.
pub(crate) fn enthalpy(
    name: &'static str,
    (symbol, formula): Property,
    celsius: f64,
    value: f64,
) -> WorkingStep {
    let substituted = format!("{symbol}({} °C)", shown(celsius));
    WorkingStep::new(name, (formula, WATER), substituted, (value, "kJ/kg"))
}
