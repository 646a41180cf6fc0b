//! A temperature on the two scales that practitioners speak.

use super::from_maths::AtField;
use super::problem::Problem;
use super::provenance::WorkingStep;
use super::water_steps;
use crate::maths::quantity::Temperature;

/// A temperature on both scales; the one that was given stays bit for bit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BothScales {
    pub(crate) temperature: Temperature,
    pub(crate) fahrenheit: f64,
    /// Whether the caller spoke in degrees Fahrenheit.
    is_given_fahrenheit: bool,
}

impl From<Temperature> for BothScales {
    fn from(temperature: Temperature) -> Self {
        Self {
            temperature,
            fahrenheit: temperature.fahrenheit(),
            is_given_fahrenheit: false,
        }
    }
}

impl BothScales {
    /// The temperature of two fields, at most one of which was given.
    ///
    /// # Errors
    /// A [`Problem`] at the field whose value is no temperature.
    pub(crate) fn given(
        (celsius_field, celsius): (&str, Option<f64>),
        (fahrenheit_field, fahrenheit): (&str, Option<f64>),
    ) -> Result<Option<Self>, Problem> {
        if let Some(fahrenheit) = fahrenheit {
            let temperature = Temperature::from_fahrenheit(fahrenheit).at(fahrenheit_field)?;
            return Ok(Some(Self {
                temperature,
                fahrenheit,
                is_given_fahrenheit: true,
            }));
        }
        let temperature = celsius.map(Temperature::from_celsius).transpose();
        Ok(temperature.at(celsius_field)?.map(Self::from))
    }

    /// The field that the caller used, of the two.
    pub(crate) const fn field(
        self,
        celsius_field: &'static str,
        fahrenheit_field: &'static str,
    ) -> &'static str {
        if self.is_given_fahrenheit {
            fahrenheit_field
        } else {
            celsius_field
        }
    }

    /// The step that finds the scale that was not given.
    pub(crate) fn step(
        self,
        celsius_field: &'static str,
        fahrenheit_field: &'static str,
    ) -> WorkingStep {
        let (c, f) = (self.celsius(), self.fahrenheit);
        if self.is_given_fahrenheit {
            water_steps::celsius(celsius_field, f, c)
        } else {
            water_steps::fahrenheit(fahrenheit_field, c, f)
        }
    }

    /// The temperature in degrees Celsius.
    pub(crate) const fn celsius(self) -> f64 {
        self.temperature.celsius()
    }
}
