//! Density of milk by its fat and temperature.

use super::milk::{MILK_FAT_PERCENT, MILK_TEMPERATURE};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Density, MassFraction, Pressure, Temperature};
use crate::maths::water::liquid::liquid_density;
use crate::maths::water::saturation::saturation_pressure;

/// Temperatures of the table, °C. `[milk-density]`
const TEMPERATURES: [f64; 4] = [4.4, 10.0, 20.0, 38.9];
/// Fat in percent and densities in kg/L at [`TEMPERATURES`]: skim (taken as without fat),
/// homogenised, half-and-half. `[milk-density]`
const TABLE: [(f64, [f64; 4]); 3] = [
    (0.0, [1.036, 1.035, 1.033, 1.026]),
    (3.6, [1.033, 1.032, 1.029, 1.022]),
    (12.25, [1.027, 1.025, 1.020, 1.010]),
];
const KILOGRAMS_PER_CUBIC_METRE: f64 = 1000.0;
/// Pressure under which the water's expansion is taken, hPa; above that of saturation up to
/// 100 °C.
const WATER_HPA: f64 = 1013.25;

/// Density of milk.
///
/// # Equation
/// Linear between the rows and columns of the table; above its last column
/// `rho(T) = rho(38.9) rho_w(T) / rho_w(38.9)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | rho | density of milk (returned) | kg/m³ |
/// | `rho_w` | density of water | kg/m³ |
/// | T | temperature | °C |
///
/// # Source
/// `[milk-density]`; above 38.9 °C with the expansion of water of `[iapws2012]`, our assumption.
///
/// # Valid for
/// [`MILK_FAT_PERCENT`] and [`MILK_TEMPERATURE`]. Below 4.4 °C the value there is kept (water
/// changes by 0.01 %). From 20 to 38.9 °C water expands by 0.6 %, milk by 0.7 % and half-and-half
/// by 1.0 %, so at 65 °C the assumption may be 0.5 % off.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::milk_density::milk_density, quantity::{MassFraction, Temperature}};
/// let homogenised = MassFraction::from_percent(3.6)?;
/// let density = milk_density(homogenised, Temperature::from_celsius(20.0)?)?;
/// assert_eq!(density.kilograms_per_cubic_metre(), 1029.0);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn milk_density(fat: MassFraction, temperature: Temperature) -> Result<Density, MathsError> {
    let percent = MILK_FAT_PERCENT.check(fat.percent())?;
    let t = MILK_TEMPERATURE.check(temperature.celsius())?;
    let by_fat = TABLE.map(|(fat, densities)| (fat, between(&columns(densities), t)));
    let density = between(&by_fat, percent) * KILOGRAMS_PER_CUBIC_METRE;
    Density::from_kilograms_per_cubic_metre(density * expansion(temperature)?)
}

fn columns(densities: [f64; 4]) -> [(f64, f64); 4] {
    let mut columns = TEMPERATURES.map(|t| (t, 0.0));
    for (column, density) in columns.iter_mut().zip(densities) {
        column.1 = density;
    }
    columns
}

/// Linear between points that rise in x; the value of the nearest one outside them.
fn between(points: &[(f64, f64)], x: f64) -> f64 {
    for pair in points.windows(2) {
        if let [(x0, y0), (x1, y1)] = *pair
            && x <= x1
        {
            let share = ((x - x0) / (x1 - x0)).max(0.0);
            return y0 + share * (y1 - y0);
        }
    }
    points.last().map_or(f64::NAN, |last| last.1)
}

/// Density of water over that at the table's last column; one inside the table.
fn expansion(temperature: Temperature) -> Result<f64, MathsError> {
    let [.., last] = TEMPERATURES;
    if temperature.celsius() <= last {
        return Ok(1.0);
    }
    let at = |temperature: Temperature| -> Result<f64, MathsError> {
        let air = Pressure::from_hectopascals(WATER_HPA)?;
        // 100 °C is just above boiling in this air, where the saturation line is the limit
        let pressure = saturation_pressure(temperature)?;
        let pressure = if pressure > air { pressure } else { air };
        Ok(liquid_density(temperature, pressure)?.kilograms_per_cubic_metre())
    };
    Ok(at(temperature)? / at(Temperature::from_celsius(last)?)?)
}
