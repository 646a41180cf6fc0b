//! The derivation of the air pressure from an altitude.

use super::{AltitudeKind, Height, KnownBy, Place};
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::MathsError;
use crate::maths::air::sea_level::{Weather, vapour_pressure_hpa};
use crate::maths::constants::{
    DRY_AIR_GAS_CONSTANT, NOMINAL_EARTH_RADIUS, STANDARD_GRAVITY, STANDARD_LAPSE_RATE,
    STANDARD_SEA_LEVEL_KELVIN, STANDARD_SEA_LEVEL_PASCALS,
};
use crate::maths::quantity::{Altitude, Pressure};

const AIR: &str = "iso2533";
const UNITS: &str = "units";

/// Adds the steps from the altitude to the air pressure; a barometer needs none.
///
/// # Errors
/// None for a place that exists: the same quantities were computed for it.
pub(crate) fn steps(steps: &mut Vec<WorkingStep>, place: &Place) -> Result<(), MathsError> {
    if let Some(height) = place.known.height() {
        geopotential(steps, height);
    }
    let result = (place.pressure.hectopascals(), "hPa");
    let step = match place.known {
        KnownBy::Barometer => return Ok(()),
        KnownBy::Standard(height) => {
            let formula = ("p = p0 (1 − L H / T0)^(g0 / (R L))", AIR);
            WorkingStep::new("air_pressure_hpa", formula, standard(height), result)
        }
        KnownBy::Altimeter(height, setting) => {
            let formula = "p = p0 ((QNH / p0)^(R L / g0) − L H / T0)^(g0 / (R L))";
            let substituted = altimeter(height, setting);
            WorkingStep::new(
                "air_pressure_hpa",
                (formula, "icao7488"),
                substituted,
                result,
            )
        }
        KnownBy::SeaLevel(height, reduced, weather) => {
            let vapour_hpa = vapour_pressure_hpa(weather)?;
            steps.push(vapour(weather, vapour_hpa));
            let formula = "p = QFF exp(−(g0 / R) H / (T + L H / 2 + 0.12 e))";
            let metres = shown(height.geopotential.metres());
            let substituted = format!(
                "{} × exp(−({STANDARD_GRAVITY} / {DRY_AIR_GAS_CONSTANT}) × {metres} / ({} + \
                 {STANDARD_LAPSE_RATE} × {metres} / 2 + 0.12 × {}))",
                shown(reduced.hectopascals()),
                shown(weather.temperature.kelvin()),
                shown(vapour_hpa),
            );
            WorkingStep::new("air_pressure_hpa", (formula, "wmo8"), substituted, result)
        }
    };
    steps.push(step);
    Ok(())
}

fn geopotential(steps: &mut Vec<WorkingStep>, height: Height) {
    if let Some(feet) = height.feet {
        steps.push(WorkingStep::new(
            "altitude_m",
            ("1 ft = 0.3048 m", UNITS),
            format!("{} × {}", shown(feet), Altitude::METRES_PER_FOOT),
            (height.metres, "m"),
        ));
    }
    if height.kind == AltitudeKind::Geometric {
        let (radius, z) = (shown(NOMINAL_EARTH_RADIUS), shown(height.metres));
        steps.push(WorkingStep::new(
            "geopotential_altitude_m",
            ("H = r Z / (r + Z)", AIR),
            format!("{radius} × {z} / ({radius} + {z})"),
            (height.geopotential.metres(), "m"),
        ));
    }
}

fn standard(height: Height) -> String {
    format!(
        "{} × (1 − {STANDARD_LAPSE_RATE} × {} / {STANDARD_SEA_LEVEL_KELVIN})^{}",
        shown(STANDARD_SEA_LEVEL_PASCALS / 100.0),
        shown(height.geopotential.metres()),
        shown(exponent()),
    )
}

fn altimeter(height: Height, setting: Pressure) -> String {
    let sea = shown(STANDARD_SEA_LEVEL_PASCALS / 100.0);
    format!(
        "{sea} × (({} / {sea})^{} − {STANDARD_LAPSE_RATE} × {} / {STANDARD_SEA_LEVEL_KELVIN})^{}",
        shown(setting.hectopascals()),
        shown(1.0 / exponent()),
        shown(height.geopotential.metres()),
        shown(exponent()),
    )
}

/// g0 / (R L).
pub(crate) fn exponent() -> f64 {
    STANDARD_GRAVITY / (DRY_AIR_GAS_CONSTANT * STANDARD_LAPSE_RATE)
}

fn vapour(weather: Weather, vapour_hpa: f64) -> WorkingStep {
    let celsius = shown(weather.temperature.celsius());
    WorkingStep::new(
        "vapour_pressure_hpa",
        ("e = (RH / 100) 6.112 exp(17.62 t / (243.12 + t))", "wmo8"),
        format!(
            "({} / 100) × 6.112 × exp(17.62 × {celsius} / (243.12 + {celsius}))",
            shown(weather.humidity.percent()),
        ),
        (vapour_hpa, "hPa"),
    )
}
