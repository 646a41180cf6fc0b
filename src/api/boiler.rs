//! A boiler of water and steam in equilibrium, known by its temperature or by its gauge.

use super::both_scales::BothScales;
use super::from_maths::AtField;
use super::problem::{Fault, FaultCode, Problem};
use super::provenance::{WorkingStep, shown};
use super::water_steps::{UNITS, boiling, fahrenheit, saturation};
use crate::maths::MathsError;
use crate::maths::quantity::{GaugePressure, Pressure};
use crate::maths::range::Range;
use crate::maths::water::gauge::boiling_temperature_under;
use crate::maths::water::saturation::{boiling_temperature, saturation_pressure};

/// Water that comes in from the main.
pub(crate) const FEED: Range = Range::new("feed water temperature", 0.0, 100.0, "°C");

/// How far outside the range of gauges a pressure still counts as its end, bar: rounding on the
/// way from a pressure to its boiling point and back.
const ROUNDING_BAR: f64 = 1e-9;

/// What a request says of its boiler: exactly one of these.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Given {
    pub(crate) temperature_c: Option<f64>,
    pub(crate) temperature_f: Option<f64>,
    pub(crate) pressure_bar: Option<f64>,
}

/// A boiler at a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Boiler {
    /// Temperature of its water and its steam.
    pub(crate) temperature: BothScales,
    /// What its gauge shows.
    pub(crate) gauge: GaugePressure,
    /// Its absolute pressure.
    pub(crate) absolute: Pressure,
    given: Given,
}

impl Given {
    /// The fields that were given.
    const fn field(&self) -> &'static str {
        if self.temperature_f.is_some() {
            "temperature_f"
        } else if self.temperature_c.is_some() {
            "temperature_c"
        } else {
            "pressure_bar"
        }
    }

    /// The boiler in the air of a place.
    ///
    /// # Errors
    /// A [`Problem`] at the temperature when water of it does not boil there.
    pub(crate) fn boiler(self, air: Pressure) -> Result<Boiler, Problem> {
        let temperature = BothScales::given(
            ("temperature_c", self.temperature_c),
            ("temperature_f", self.temperature_f),
        )?;
        if let Some(temperature) = temperature {
            let absolute = saturation_pressure(temperature.temperature).at(self.field())?;
            let bar = (absolute.hectopascals() - air.hectopascals()) / 1000.0;
            if bar < -ROUNDING_BAR {
                return Err(self.wrong(too_cool(temperature, air)?));
            }
            if bar > GaugePressure::RANGE.max + ROUNDING_BAR {
                return Err(self.wrong(too_hot(temperature, bar)));
            }
            let shown = bar.clamp(GaugePressure::RANGE.min, GaugePressure::RANGE.max);
            return Ok(Boiler {
                temperature,
                gauge: GaugePressure::from_bar(shown).at(self.field())?,
                absolute,
                given: self,
            });
        }
        // the rules leave nothing but a gauge here
        let bar = self.pressure_bar.unwrap_or(f64::NAN);
        let gauge = GaugePressure::from_bar(bar).at("pressure_bar")?;
        Ok(Boiler {
            temperature: boiling_temperature_under(gauge, air)?.into(),
            gauge,
            absolute: gauge.above(air)?,
            given: self,
        })
    }

    /// A problem at the field that was given.
    fn wrong(&self, detail: String) -> Problem {
        let pointer = format!("/{}", self.field());
        Problem::invalid(vec![Fault::new(pointer, FaultCode::Inconsistent, detail)])
    }
}

/// What to say of water that gives no steam at the place.
fn too_cool(temperature: BothScales, air: Pressure) -> Result<String, MathsError> {
    Ok(format!(
        "water of {} °C gives no steam in air of {} hPa, where it boils at {} °C",
        shown(temperature.celsius()),
        shown(air.hectopascals()),
        shown(boiling_temperature(air)?.celsius()),
    ))
}

/// What to say of steam beyond the range of gauges.
fn too_hot(temperature: BothScales, bar: f64) -> String {
    format!(
        "steam of {} °C has {} bar above the air of the place, more than the {} bar that are \
         answered for",
        shown(temperature.celsius()),
        shown(bar),
        shown(GaugePressure::RANGE.max),
    )
}

impl Boiler {
    /// The field that it was given by.
    pub(crate) const fn field(&self) -> &'static str {
        self.given.field()
    }

    /// Adds the steps between the temperature and the gauge, in the order that was given.
    ///
    /// The names are those of the fields of an answer, so that each step ends at what is
    /// answered.
    pub(crate) fn steps(&self, steps: &mut Vec<WorkingStep>, air: Pressure) {
        let (c, f) = (self.temperature.celsius(), self.temperature.fahrenheit);
        let (bar, hpa) = (self.gauge.bar(), self.absolute.hectopascals());
        let around = air.hectopascals();
        if self.given.pressure_bar.is_some() {
            steps.push(WorkingStep::new(
                "boiler_pressure_hpa",
                ("p_abs = p + 1000 p_gauge", UNITS),
                format!("{} + 1000 × {}", shown(around), shown(bar)),
                (hpa, "hPa"),
            ));
            steps.push(boiling("temperature_c", self.absolute, c));
            steps.push(fahrenheit("temperature_f", c, f));
            return;
        }
        steps.push(self.temperature.step("temperature_c", "temperature_f"));
        steps.push(saturation("boiler_pressure_hpa", c, hpa));
        steps.push(WorkingStep::new(
            "pressure_bar",
            ("p_gauge = (p_abs − p) / 1000", UNITS),
            format!("({} − {}) / 1000", shown(hpa), shown(around)),
            (bar, "bar"),
        ));
    }
}
