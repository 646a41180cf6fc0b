//! The air pressure at the place, by whichever way it is known.

use super::{AltitudeKind, WaterTemperatureRequest};
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::air::sea_level::Weather;
use crate::maths::air::{altimetry, atmosphere, sea_level};
use crate::maths::quantity::{
    Altitude, GeopotentialAltitude, Pressure, RelativeHumidity, Temperature,
};

/// A place, and the pressure of its air.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) pressure: Pressure,
    pub(super) known: KnownBy,
}

/// How the pressure is known.
#[derive(Debug, Clone, Copy)]
pub(super) enum KnownBy {
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
pub(super) struct Height {
    pub(super) feet: Option<f64>,
    pub(super) metres: f64,
    pub(super) kind: AltitudeKind,
    pub(super) geopotential: GeopotentialAltitude,
}

impl KnownBy {
    /// The altitude, unless only a barometer was read.
    pub(super) const fn height(&self) -> Option<Height> {
        match self {
            Self::Barometer => None,
            Self::Standard(height) | Self::Altimeter(height, _) | Self::SeaLevel(height, _, _) => {
                Some(*height)
            }
        }
    }

    /// Id of the source of the pressure; a barometer needs none.
    pub(super) const fn source(&self) -> Option<&'static str> {
        match self {
            Self::Barometer => None,
            Self::Standard(_) => Some("iso2533"),
            Self::Altimeter(..) => Some("icao7488"),
            Self::SeaLevel(..) => Some("wmo8"),
        }
    }
}

/// The place that a request describes.
///
/// # Errors
/// A [`Problem`] at the field whose value gives an air pressure that no place has.
pub(super) fn of(request: &WaterTemperatureRequest) -> Result<Place, Problem> {
    let Some(height) = height(request)? else {
        // the rules leave nothing but a barometer here
        let read = request.station_pressure_hpa.unwrap_or(f64::NAN);
        return Ok(Place {
            pressure: Pressure::from_hectopascals(read).at("station_pressure_hpa")?,
            known: KnownBy::Barometer,
        });
    };
    let (field, known) = known(request, height)?;
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
fn height(request: &WaterTemperatureRequest) -> Result<Option<Height>, Problem> {
    let kind = request.altitude_kind.unwrap_or_default();
    let (field, altitude) = match (request.altitude_m, request.altitude_ft) {
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
        feet: request.altitude_ft,
        metres: altitude.metres(),
        kind,
        geopotential: geopotential.at(field)?,
    }))
}

/// How the pressure at an altitude is known, and the field that a wrong one is laid to.
fn known(
    request: &WaterTemperatureRequest,
    height: Height,
) -> Result<(&'static str, KnownBy), Problem> {
    let altitude = if height.feet.is_some() {
        "altitude_ft"
    } else {
        "altitude_m"
    };
    if let Some(setting) = request.altimeter_setting_hpa {
        let field = "altimeter_setting_hpa";
        let setting = Pressure::from_hectopascals(setting).at(field)?;
        return Ok((field, KnownBy::Altimeter(height, setting)));
    }
    let Some(reduced) = request.sea_level_pressure_hpa else {
        return Ok((altitude, KnownBy::Standard(height)));
    };
    let field = "sea_level_pressure_hpa";
    let reduced = Pressure::from_hectopascals(reduced).at(field)?;
    let weather = weather(request)?;
    Ok((field, KnownBy::SeaLevel(height, reduced, weather)))
}

/// The weather that stands beside a sea-level pressure; the rules see to it that it is there.
fn weather(request: &WaterTemperatureRequest) -> Result<Weather, Problem> {
    let celsius = request.air_temperature_c.unwrap_or(f64::NAN);
    let percent = request.relative_humidity_percent.unwrap_or(f64::NAN);
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
