//! A temperature on the two scales that practitioners speak.

use super::from_maths::AtField;
use super::problem::Problem;
use crate::maths::quantity::Temperature;

/// A temperature on both scales; the one that was given stays bit for bit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BothScales {
    pub(crate) temperature: Temperature,
    pub(crate) fahrenheit: f64,
}

impl From<Temperature> for BothScales {
    fn from(temperature: Temperature) -> Self {
        Self {
            temperature,
            fahrenheit: temperature.fahrenheit(),
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
            }));
        }
        let temperature = celsius.map(Temperature::from_celsius).transpose();
        Ok(temperature.at(celsius_field)?.map(Self::from))
    }

    /// The temperature in degrees Celsius.
    pub(crate) const fn celsius(self) -> f64 {
        self.temperature.celsius()
    }
}
