//! `water-temperature`: the boiling point at a place, and what it means for brew water.

mod cautions;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::both_scales::BothScales;
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{CautionCode, SCALDS_FROM_C};
use crate::api::from_maths::AtField;
use crate::api::place::{self, AltitudeKind, KnownBy, Place, WEATHER_SPREAD_HPA};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::MathsError;
use crate::maths::quantity::{Altitude, GaugePressure, Pressure, RelativeHumidity, Temperature};
use crate::maths::water::altitude::boiling_altitude;
use crate::maths::water::flash::flash_fraction;
use crate::maths::water::gauge::boiling_temperature_under;
use crate::maths::water::saturation::{boiling_slope_k_per_hpa, boiling_temperature};

/// A place, by its air pressure or its altitude, and the brew water wanted there.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterTemperatureRequest {
    /// Altitude of the place above mean sea level.
    pub altitude_m: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_ft: Option<f64>,
    /// What kind of altitude it is.
    pub altitude_kind: Option<AltitudeKind>,
    /// What a barometer at the place shows, not reduced to sea level.
    pub station_pressure_hpa: Option<f64>,
    /// Altimeter setting in force at the place (QNH), as aerodromes report it.
    pub altimeter_setting_hpa: Option<f64>,
    /// Pressure reduced to sea level with the weather (QFF), as weather services report it.
    pub sea_level_pressure_hpa: Option<f64>,
    /// Temperature of the outside air at the place.
    pub air_temperature_c: Option<f64>,
    /// Relative humidity of the outside air at the place.
    pub relative_humidity_percent: Option<f64>,
    /// Temperature wanted of the brew water. Default 93 (common practice, no source).
    pub target_temperature_c: Option<f64>,
    /// Temperature wanted of the brew water, in degrees Fahrenheit.
    pub target_temperature_f: Option<f64>,
    /// Pressure under which the water is held, above the air around it, as a machine's gauge
    /// shows it.
    pub brew_pressure_bar: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// The boiling point at the place, and how the target stands to it.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WaterTemperatureResponse {
    /// Air pressure at the place.
    pub air_pressure_hpa: f64,
    /// Temperature at which pure water boils in an open vessel.
    pub boiling_point_c: f64,
    /// The same in degrees Fahrenheit.
    pub boiling_point_f: f64,
    /// Temperature at which pure water boils under `brew_pressure_bar`; left out without it.
    pub boiling_point_under_pressure_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub boiling_point_under_pressure_f: Option<f64>,
    /// Temperature wanted of the brew water.
    pub target_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub target_temperature_f: f64,
    /// Whether water in an open vessel reaches the target at all.
    pub target_reachable_open: bool,
    /// Whether water under `brew_pressure_bar` reaches the target; left out without it.
    pub target_reachable_under_pressure: Option<bool>,
    /// What to set an open kettle to: the lower of the target and 0.5 °C below boiling (common
    /// practice, no source).
    pub recommended_open_kettle_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub recommended_open_kettle_temperature_f: f64,
    /// Boiling point in an open vessel less target; below zero when out of reach there.
    pub margin_c: f64,
    /// Share of water at the target that turns to steam when it meets the air; 0 up to the
    /// boiling point.
    pub flash_percent: f64,
    /// Geometric altitude at which the target boils in the standard atmosphere; left out when
    /// it is outside -500 to 9000 m.
    pub altitude_where_target_boils_m: Option<f64>,
    /// Standard uncertainty of the boiling point when only the altitude is known: the weather
    /// is taken to spread the air pressure with a standard deviation of 10 hPa (assumed, no
    /// source). Left out when a pressure was given.
    pub boiling_point_uncertainty_c: Option<f64>,
}

/// Target when none is given, °C; common practice, no source.
const USUAL_TARGET: f64 = 93.0;
/// How far below boiling an open kettle is set at most, K; common practice, no source.
const KETTLE_MARGIN: f64 = 0.5;

const ALTITUDES: &[&str] = &["altitude_m", "altitude_ft"];
const WEATHER: &[&str] = &["air_temperature_c", "relative_humidity_percent"];

/// The `water-temperature` calculation.
#[derive(Debug)]
pub struct WaterTemperature;

impl Calculation for WaterTemperature {
    const NAME: &'static str = "water-temperature";
    const SUMMARY: &'static str =
        "Boiling point at an altitude or air pressure, and the brew water it allows";
    const DESCRIPTION: &'static str = "Finds the air pressure at the place (best from a barometer there; from an altitude by \
        the standard atmosphere; from an altitude with an altimeter setting, QNH, or with a sea-level pressure, QFF, and \
        the weather), the boiling point of pure water under it (IAPWS-IF97), and how the target temperature stands to it: \
        whether an open kettle or water under pressure reaches it, what to set a kettle to, and how much flashes to steam. \
        At 1013.25 hPa water boils at 99.9743 °C, not 100. QNH and QFF are reduced by different rules: never give one for \
        the other. Where water can be hot or under pressure, local codes and licensed service come first.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::HotWater,
        CautionCode::Superheated,
        CautionCode::PressureVessel,
        CautionCode::HighAltitude,
        CautionCode::SeaLevelReduction,
        CautionCode::PressureFromAltitude,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("altitude_m", Altitude::RANGE),
        Bound::new("altitude_ft", Altitude::RANGE_FEET),
        Bound::new("station_pressure_hpa", Pressure::AIR),
        Bound::new("altimeter_setting_hpa", Pressure::AIR),
        Bound::new("sea_level_pressure_hpa", Pressure::AIR),
        Bound::new("air_temperature_c", Temperature::AIR),
        Bound::new("relative_humidity_percent", RelativeHumidity::RANGE),
        Bound::new("target_temperature_c", Temperature::BREWING),
        Bound::new("target_temperature_f", Temperature::BREWING_FAHRENHEIT),
        Bound::new("brew_pressure_bar", GaugePressure::RANGE),
    ];
    const RULES: &'static [Rule] = &[
        Rule::ExactlyOne(&["altitude_m", "altitude_ft", "station_pressure_hpa"]),
        Rule::NeedsOneOf("altitude_kind", ALTITUDES),
        Rule::NeedsOneOf("altimeter_setting_hpa", ALTITUDES),
        Rule::Excludes("altimeter_setting_hpa", &["station_pressure_hpa"]),
        Rule::NeedsOneOf("sea_level_pressure_hpa", ALTITUDES),
        Rule::Needs("sea_level_pressure_hpa", WEATHER),
        Rule::Excludes(
            "sea_level_pressure_hpa",
            &["altimeter_setting_hpa", "station_pressure_hpa"],
        ),
        Rule::Needs("air_temperature_c", &["sea_level_pressure_hpa"]),
        Rule::Needs("relative_humidity_percent", &["sea_level_pressure_hpa"]),
        Rule::AtMostOne(&["target_temperature_c", "target_temperature_f"]),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("boiling_point_c", 1),
        Headline::new("boiling_point_f", 1),
        Headline::new("recommended_open_kettle_temperature_c", 1),
        Headline::new("recommended_open_kettle_temperature_f", 1),
        Headline::new("margin_c", 1),
        Headline::new("air_pressure_hpa", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "water-temperature",
            "summit-station-kettle",
            "An open kettle at a mountain station, by its altitude, with workings"
        ),
        example!(
            "water-temperature",
            "summit-station-machine",
            "Water held under pressure, by a barometer at the place"
        ),
        example!(
            "water-temperature",
            "harbour-bar-morning",
            "By the sea, in feet and °F, with the altimeter setting of the hour"
        ),
        example!(
            "water-temperature",
            "lab-course-forecast",
            "By a sea-level pressure and the weather, with workings"
        ),
    ];

    type Request = WaterTemperatureRequest;
    type Response = WaterTemperatureResponse;

    fn answer(
        request: &WaterTemperatureRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<WaterTemperatureResponse>, Problem> {
        let place = place::of(&given(request))?;
        let target = target(request)?;
        let gauge = request.brew_pressure_bar.map(GaugePressure::from_bar);
        let gauge = gauge.transpose().at("brew_pressure_bar")?;
        let response = response(&place, target, gauge)?;
        let workings = (request.workings == Some(true))
            .then(|| working::steps(request, &place, &response))
            .transpose()?;
        let cautions = cautions::of(&place, gauge, &response);
        let sources = sources(&place, &response);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

const fn given(request: &WaterTemperatureRequest) -> place::Given {
    place::Given {
        altitude_m: request.altitude_m,
        altitude_ft: request.altitude_ft,
        altitude_kind: request.altitude_kind,
        station_pressure_hpa: request.station_pressure_hpa,
        altimeter_setting_hpa: request.altimeter_setting_hpa,
        sea_level_pressure_hpa: request.sea_level_pressure_hpa,
        air_temperature_c: request.air_temperature_c,
        relative_humidity_percent: request.relative_humidity_percent,
    }
}

fn target(request: &WaterTemperatureRequest) -> Result<BothScales, Problem> {
    let given = BothScales::given(
        ("target_temperature_c", request.target_temperature_c),
        ("target_temperature_f", request.target_temperature_f),
    )?;
    given.map_or_else(|| Ok(Temperature::from_celsius(USUAL_TARGET)?.into()), Ok)
}

fn response(
    place: &Place,
    target: BothScales,
    gauge: Option<GaugePressure>,
) -> Result<WaterTemperatureResponse, MathsError> {
    let air = place.pressure;
    let boiling = boiling_temperature(air)?;
    let under = gauge.map(|gauge| boiling_temperature_under(gauge, air));
    let under = under.transpose()?;
    let kettle = kettle(target, boiling)?;
    let is_standard = matches!(place.known, KnownBy::Standard(_));
    let uncertainty = is_standard
        .then(|| boiling_slope_k_per_hpa(air))
        .transpose()?;
    Ok(WaterTemperatureResponse {
        air_pressure_hpa: air.hectopascals(),
        boiling_point_c: boiling.celsius(),
        boiling_point_f: boiling.fahrenheit(),
        boiling_point_under_pressure_c: under.map(Temperature::celsius),
        boiling_point_under_pressure_f: under.map(Temperature::fahrenheit),
        target_temperature_c: target.celsius(),
        target_temperature_f: target.fahrenheit,
        target_reachable_open: target.temperature <= boiling,
        target_reachable_under_pressure: under.map(|under| target.temperature <= under),
        recommended_open_kettle_temperature_c: kettle.celsius(),
        recommended_open_kettle_temperature_f: kettle.fahrenheit,
        margin_c: boiling.minus(target.temperature).kelvin(),
        flash_percent: flash_fraction(target.temperature, air)?.percent(),
        altitude_where_target_boils_m: altitude(target.temperature)?.map(Altitude::metres),
        boiling_point_uncertainty_c: uncertainty.map(|slope| slope * WEATHER_SPREAD_HPA),
    })
}

/// The lower of the target and a little below boiling.
fn kettle(target: BothScales, boiling: Temperature) -> Result<BothScales, MathsError> {
    let highest = Temperature::from_celsius(boiling.celsius() - KETTLE_MARGIN)?;
    Ok(if target.temperature <= highest {
        target
    } else {
        highest.into()
    })
}

/// Where a temperature boils; nowhere when the altitude is outside the range.
fn altitude(temperature: Temperature) -> Result<Option<Altitude>, MathsError> {
    match boiling_altitude(temperature) {
        Ok(altitude) => Ok(Some(altitude)),
        Err(MathsError::OutOfRange { .. }) => Ok(None),
        Err(
            error @ (MathsError::Inconsistent { .. }
            | MathsError::NoSolution { .. }
            | MathsError::NotConverged { .. }
            | MathsError::WorkLimit { .. }
            | MathsError::NonFinite { .. }),
        ) => Err(error),
    }
}

/// Ids of everything that the answer rests on.
fn sources(place: &Place, response: &WaterTemperatureResponse) -> Vec<&'static str> {
    let height = place.known.height();
    let is_standard = height.is_some() || response.altitude_where_target_boils_m.is_some();
    let is_hot = response.target_temperature_c >= SCALDS_FROM_C;
    let used = [
        Some("iapws2012"),
        is_standard.then_some("iso2533"),
        place.known.source().filter(|id| *id != "iso2533"),
        Some("practice"),
        Some("units"),
        is_hot.then_some("scald-times"),
    ];
    used.into_iter().flatten().collect()
}
