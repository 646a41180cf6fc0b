//! The air pressure at a place, by whichever way it is known: what every calculation shares
//! that asks for an altitude or a barometer.

pub(crate) mod working;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::caution::{Caution, CautionCode};
use super::from_maths::AtField;
use super::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::air::sea_level::Weather;
use crate::maths::air::{altimetry, atmosphere, sea_level};
use crate::maths::quantity::{
    Altitude, GeopotentialAltitude, Pressure, RelativeHumidity, Temperature,
};

/// Altitude above which the standard atmosphere deserves doubt, m; assumed, no source.
const HIGH_ABOVE: f64 = 5500.0;
/// Standard deviation of the air pressure with the weather, hPa; assumed, no source.
pub(crate) const WEATHER_SPREAD_HPA: f64 = 10.0;

/// What kind of altitude is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum AltitudeKind {
    /// Length above mean sea level, as on a map or by satellite.
    #[default]
    Geometric,
    /// Geopotential, as in tables of the standard atmosphere.
    Geopotential,
}

/// What a request says of its place; the fields of the request by their own names.
///
/// The rules of the calculation see to it that an altitude or a barometer is among them, and
/// that a sea-level pressure comes with the weather.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Given {
    pub(crate) altitude_m: Option<f64>,
    pub(crate) altitude_ft: Option<f64>,
    pub(crate) altitude_kind: Option<AltitudeKind>,
    pub(crate) station_pressure_hpa: Option<f64>,
    pub(crate) altimeter_setting_hpa: Option<f64>,
    pub(crate) sea_level_pressure_hpa: Option<f64>,
    pub(crate) air_temperature_c: Option<f64>,
    pub(crate) relative_humidity_percent: Option<f64>,
}

/// A place, and the pressure of its air.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) pressure: Pressure,
    pub(crate) known: KnownBy,
}

/// How the pressure is known.
#[derive(Debug, Clone, Copy)]
pub(crate) enum KnownBy {
    /// A barometer at the place.
    Barometer,
    /// The standard atmosphere at the altitude.
    Standard(Height),
    /// An altimeter setting at the altitude.
    Altimeter(Height, Pressure),
    /// A pressure reduced to sea level, and the weather at the altitude.
    SeaLevel(Height, Pressure, Weather),
}

/// The altitude, as it was given and as the atmosphere takes it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Height {
    pub(crate) feet: Option<f64>,
    pub(crate) metres: f64,
    pub(crate) kind: AltitudeKind,
    pub(crate) geopotential: GeopotentialAltitude,
}

impl KnownBy {
    /// The altitude, unless only a barometer was read.
    pub(crate) const fn height(&self) -> Option<Height> {
        match self {
            Self::Barometer => None,
            Self::Standard(height) | Self::Altimeter(height, _) | Self::SeaLevel(height, _, _) => {
                Some(*height)
            }
        }
    }

    /// Id of the source of the pressure; a barometer needs none.
    pub(crate) const fn source(&self) -> Option<&'static str> {
        match self {
            Self::Barometer => None,
            Self::Standard(_) => Some("iso2533"),
            Self::Altimeter(..) => Some("icao7488"),
            Self::SeaLevel(..) => Some("wmo8"),
        }
    }
}

impl Place {
    /// A caution where the standard atmosphere is far from the weather of the day.
    pub(crate) fn high_altitude_caution(&self) -> Option<Caution> {
        let metres = self.known.height()?.metres;
        (metres > HIGH_ABOVE)
            .then(|| Caution::from(CautionCode::HighAltitude).with("altitude_m", metres))
    }
}

/// The place that a request describes.
///
/// # Errors
/// A [`Problem`] at the field whose value gives an air pressure that no place has.
pub(crate) fn of(given: &Given) -> Result<Place, Problem> {
    let Some(height) = height(given)? else {
        // the rules leave nothing but a barometer here
        let read = given.station_pressure_hpa.unwrap_or(f64::NAN);
        return Ok(Place {
            pressure: Pressure::from_hectopascals(read).at("station_pressure_hpa")?,
            known: KnownBy::Barometer,
        });
    };
    let (field, known) = known(given, height)?;
    let pressure = match known {
        KnownBy::Barometer | KnownBy::Standard(_) => atmosphere::air_pressure(height.geopotential),
        KnownBy::Altimeter(_, setting) => altimetry::station_pressure(setting, height.geopotential),
        KnownBy::SeaLevel(_, reduced, weather) => {
            sea_level::station_pressure(reduced, height.geopotential, weather)
        }
    };
    let pressure = inside(pressure.at(field)?, field)?;
    Ok(Place { pressure, known })
}

/// The altitude given, in whichever unit.
fn height(given: &Given) -> Result<Option<Height>, Problem> {
    let kind = given.altitude_kind.unwrap_or_default();
    let (field, altitude) = match (given.altitude_m, given.altitude_ft) {
        (Some(metres), _) => ("altitude_m", Altitude::from_metres(metres)),
        (None, Some(feet)) => ("altitude_ft", Altitude::from_feet(feet)),
        (None, None) => return Ok(None),
    };
    let altitude = altitude.at(field)?;
    let geopotential = match kind {
        AltitudeKind::Geometric => atmosphere::geopotential(altitude),
        AltitudeKind::Geopotential => GeopotentialAltitude::from_metres(altitude.metres()),
    };
    Ok(Some(Height {
        feet: given.altitude_ft,
        metres: altitude.metres(),
        kind,
        geopotential: geopotential.at(field)?,
    }))
}

/// How the pressure at an altitude is known, and the field that a wrong one is laid to.
fn known(given: &Given, height: Height) -> Result<(&'static str, KnownBy), Problem> {
    let altitude = if height.feet.is_some() {
        "altitude_ft"
    } else {
        "altitude_m"
    };
    if let Some(setting) = given.altimeter_setting_hpa {
        let field = "altimeter_setting_hpa";
        let setting = Pressure::from_hectopascals(setting).at(field)?;
        return Ok((field, KnownBy::Altimeter(height, setting)));
    }
    let Some(reduced) = given.sea_level_pressure_hpa else {
        return Ok((altitude, KnownBy::Standard(height)));
    };
    let field = "sea_level_pressure_hpa";
    let reduced = Pressure::from_hectopascals(reduced).at(field)?;
    let weather = weather(given)?;
    Ok((field, KnownBy::SeaLevel(height, reduced, weather)))
}

/// The weather that stands beside a sea-level pressure; the rules see to it that it is there.
fn weather(given: &Given) -> Result<Weather, Problem> {
    let celsius = given.air_temperature_c.unwrap_or(f64::NAN);
    let percent = given.relative_humidity_percent.unwrap_or(f64::NAN);
    Ok(Weather {
        temperature: Temperature::from_celsius(celsius).at("air_temperature_c")?,
        humidity: RelativeHumidity::from_percent(percent).at("relative_humidity_percent")?,
    })
}

/// The pressure itself when air at a place where people brew can have it.
fn inside(pressure: Pressure, field: &str) -> Result<Pressure, Problem> {
    match Pressure::AIR.check(pressure.hectopascals()) {
        Ok(_) => Ok(pressure),
        Err(error @ MathsError::OutOfRange { .. }) => {
            let detail = format!("at this altitude the {error}");
            let fault = Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail);
            Err(Problem::invalid(vec![fault]))
        }
        Err(
            error @ (MathsError::Inconsistent { .. }
            | MathsError::NoSolution { .. }
            | MathsError::NotConverged { .. }
            | MathsError::WorkLimit { .. }
            | MathsError::NonFinite { .. }),
        ) => Err(error.into()),
    }
}
