//! `steam-boiler`: temperature and gauge pressure of saturated steam at a place.

mod refill;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use self::refill::Refilled;
use crate::api::boiler::{self, Boiler, FEED};
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::place::{self, AltitudeKind, KnownBy, Place, WEATHER_SPREAD_HPA};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::MathsError;
use crate::maths::constants::STANDARD_SEA_LEVEL_PASCALS;
use crate::maths::quantity::{Altitude, GaugePressure, Mass, Pressure, Temperature};
use crate::maths::water::flash::flash_fraction;
use crate::maths::water::saturation::{
    boiling_temperature, latent_heat, liquid_enthalpy, vapour_enthalpy, vapour_volume,
};

/// A steam boiler, by its temperature or its gauge, and the air around it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SteamBoilerRequest {
    /// Temperature of the water and the steam in the boiler.
    pub temperature_c: Option<f64>,
    /// Temperature of the water and the steam in the boiler, in degrees Fahrenheit.
    pub temperature_f: Option<f64>,
    /// Pressure in the boiler above the air around it, as its gauge shows it.
    pub pressure_bar: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_m: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_ft: Option<f64>,
    /// What kind of altitude it is.
    pub altitude_kind: Option<AltitudeKind>,
    /// What a barometer at the place shows, not reduced to sea level.
    pub station_pressure_hpa: Option<f64>,
    /// Gauge pressure that the boiler is rated for, from its plate.
    pub boiler_rated_pressure_bar: Option<f64>,
    /// Water in the boiler before a refill.
    pub boiler_water_mass_g: Option<f64>,
    /// Water that a refill brings in.
    pub feed_mass_g: Option<f64>,
    /// Temperature of the water that a refill brings in.
    pub feed_temperature_c: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Saturated steam at the place.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SteamBoilerResponse {
    /// Temperature of the water and the steam in the boiler.
    pub temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub temperature_f: f64,
    /// Pressure in the boiler above the air around it, as its gauge shows it.
    pub pressure_bar: f64,
    /// Absolute pressure in the boiler.
    pub pressure_bar_abs: f64,
    /// Air pressure at the place.
    pub air_pressure_hpa: f64,
    /// Temperature at which water boils in an open vessel at the place.
    pub boiling_point_c: f64,
    /// The same in degrees Fahrenheit.
    pub boiling_point_f: f64,
    /// What a gauge at sea level, in standard air, shows for the same temperature; left out when
    /// water of it does not boil there.
    pub sea_level_pressure_bar: Option<f64>,
    /// Enthalpy of the boiling water.
    pub water_enthalpy_kj_per_kg: f64,
    /// Enthalpy of the dry saturated steam.
    pub steam_enthalpy_kj_per_kg: f64,
    /// Heat that turns the boiling water to steam, and that the steam gives up again.
    pub latent_heat_kj_per_kg: f64,
    /// Volume of the dry saturated steam.
    pub steam_volume_m3_per_kg: f64,
    /// Share of the boiler's water that would turn to steam in the open air.
    pub flash_percent: f64,
    /// Whether the gauge pressure is above the rated one; left out when none was given.
    pub is_above_rated_pressure: Option<bool>,
    /// Temperature after the refill mixed in, before the heater makes up for it; metal and steam,
    /// which hold the temperature up, left out. Only when a refill was given.
    pub refilled_temperature_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub refilled_temperature_f: Option<f64>,
    /// What the gauge shows then; below zero where the water no longer boils, until the vacuum is
    /// let out.
    pub refilled_pressure_bar: Option<f64>,
}

const REFILL: [&str; 3] = ["boiler_water_mass_g", "feed_mass_g", "feed_temperature_c"];

/// The `steam-boiler` calculation.
#[derive(Debug)]
pub struct SteamBoiler;

impl Calculation for SteamBoiler {
    const NAME: &'static str = "steam-boiler";
    const SUMMARY: &'static str =
        "Temperature and gauge pressure of a steam boiler at an altitude, and its steam";
    const DESCRIPTION: &'static str = "Turns the temperature of saturated steam into the pressure that a gauge shows, or \
        the other way round (IAPWS-IF97). A gauge reads against the air around it: 130 °C is 1.69 bar at sea level and \
        2.00 bar at 3000 m. Enthalpies count from liquid water at the triple point. With a refill (water in the boiler, \
        water coming in and its temperature) the answer has the temperature just after it. This is information about \
        steam: no set point is recommended here, and pressure equipment belongs to licensed service under local codes.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::PressureVessel,
        CautionCode::Scald,
        CautionCode::GaugeRisesWithAltitude,
        CautionCode::AboveRatedPressure,
        CautionCode::TrappedAir,
        CautionCode::LicensedService,
        CautionCode::HighAltitude,
        CautionCode::PressureFromAltitude,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("temperature_c", Temperature::BOILER),
        Bound::new("temperature_f", Temperature::BOILER_FAHRENHEIT),
        Bound::new("pressure_bar", GaugePressure::RANGE),
        Bound::new("altitude_m", Altitude::RANGE),
        Bound::new("altitude_ft", Altitude::RANGE_FEET),
        Bound::new("station_pressure_hpa", Pressure::AIR),
        Bound::new("boiler_rated_pressure_bar", GaugePressure::RANGE),
        Bound::new("boiler_water_mass_g", Mass::LIQUID),
        Bound::new("feed_mass_g", Mass::LIQUID),
        Bound::new("feed_temperature_c", FEED),
    ];
    const RULES: &'static [Rule] = &[
        Rule::ExactlyOne(&["temperature_c", "temperature_f", "pressure_bar"]),
        Rule::ExactlyOne(&["altitude_m", "altitude_ft", "station_pressure_hpa"]),
        Rule::NeedsOneOf("altitude_kind", &["altitude_m", "altitude_ft"]),
        Rule::Needs("boiler_water_mass_g", &[REFILL[1], REFILL[2]]),
        Rule::Needs("feed_mass_g", &[REFILL[0], REFILL[2]]),
        Rule::Needs("feed_temperature_c", &[REFILL[0], REFILL[1]]),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("temperature_c", 1),
        Headline::new("temperature_f", 1),
        Headline::new("pressure_bar", 2),
        Headline::new("sea_level_pressure_bar", 2),
        Headline::new("latent_heat_kj_per_kg", 0),
        Headline::new("air_pressure_hpa", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "steam-boiler",
            "harbour-steam-hot",
            "A temperature by the sea: what the gauge shows, with workings"
        ),
        example!(
            "steam-boiler",
            "station-gauge",
            "A gauge at a mountain station, by a barometer there"
        ),
        example!(
            "steam-boiler",
            "station-above-plate",
            "In °F and feet, above what the plate allows"
        ),
        example!(
            "steam-boiler",
            "lab-refill",
            "A boiler just after cold water came in, with workings"
        ),
    ];

    type Request = SteamBoilerRequest;
    type Response = SteamBoilerResponse;

    fn answer(
        request: &SteamBoilerRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<SteamBoilerResponse>, Problem> {
        let place = place::of(&given_place(request))?;
        let boiler = given_boiler(request).boiler(place.pressure)?;
        let refilled = refill::of(request, &boiler, place.pressure)?;
        let response = response(request, &place, &boiler, refilled.as_ref())?;
        let workings = (request.workings == Some(true))
            .then(|| working::steps(&place, &boiler, refilled.as_ref(), &response))
            .transpose()?;
        let cautions = cautions(request, &place, &response);
        let sources = sources(&place, refilled.is_some());
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn given_place(request: &SteamBoilerRequest) -> place::Given {
    place::Given {
        altitude_m: request.altitude_m,
        altitude_ft: request.altitude_ft,
        altitude_kind: request.altitude_kind,
        station_pressure_hpa: request.station_pressure_hpa,
        ..place::Given::default()
    }
}

const fn given_boiler(request: &SteamBoilerRequest) -> boiler::Given {
    boiler::Given {
        temperature_c: request.temperature_c,
        temperature_f: request.temperature_f,
        pressure_bar: request.pressure_bar,
    }
}

fn response(
    request: &SteamBoilerRequest,
    place: &Place,
    boiler: &Boiler,
    refilled: Option<&Refilled>,
) -> Result<SteamBoilerResponse, MathsError> {
    let (inside, air) = (boiler.temperature.temperature, place.pressure);
    let boiling = boiling_temperature(air)?;
    let bar = boiler.gauge.bar();
    let sea = (boiler.absolute.hectopascals() - STANDARD_SEA_LEVEL_PASCALS / 100.0) / 1000.0;
    Ok(SteamBoilerResponse {
        temperature_c: boiler.temperature.celsius(),
        temperature_f: boiler.temperature.fahrenheit,
        pressure_bar: bar,
        pressure_bar_abs: boiler.absolute.hectopascals() / 1000.0,
        air_pressure_hpa: air.hectopascals(),
        boiling_point_c: boiling.celsius(),
        boiling_point_f: boiling.fahrenheit(),
        sea_level_pressure_bar: (sea >= 0.0).then_some(sea),
        water_enthalpy_kj_per_kg: liquid_enthalpy(inside)?.kilojoules_per_kilogram(),
        steam_enthalpy_kj_per_kg: vapour_enthalpy(inside)?.kilojoules_per_kilogram(),
        latent_heat_kj_per_kg: latent_heat(inside)?.kilojoules_per_kilogram(),
        steam_volume_m3_per_kg: vapour_volume(inside)?.cubic_metres_per_kilogram(),
        flash_percent: flash_fraction(inside, air)?.percent(),
        is_above_rated_pressure: request.boiler_rated_pressure_bar.map(|rated| bar > rated),
        refilled_temperature_c: refilled.map(|refilled| refilled.temperature.celsius()),
        refilled_temperature_f: refilled.map(|refilled| refilled.temperature.fahrenheit()),
        refilled_pressure_bar: refilled.map(|refilled| refilled.bar),
    })
}

fn cautions(
    request: &SteamBoilerRequest,
    place: &Place,
    response: &SteamBoilerResponse,
) -> Vec<Caution> {
    let bar = response.pressure_bar;
    let rises = Caution::from(CautionCode::GaugeRisesWithAltitude)
        .with("temperature_c", response.temperature_c)
        .with("pressure_bar", bar);
    let rises = match response.sea_level_pressure_bar {
        Some(sea) => rises.with("sea_level_pressure_bar", sea),
        None => rises,
    };
    let is_standard = matches!(place.known, KnownBy::Standard(_));
    let raised = [
        request
            .boiler_rated_pressure_bar
            .filter(|rated| bar > *rated)
            .map(|rated| {
                Caution::from(CautionCode::AboveRatedPressure)
                    .with("pressure_bar", bar)
                    .with("boiler_rated_pressure_bar", rated)
            }),
        Some(Caution::from(CautionCode::PressureVessel).with("pressure_bar", bar)),
        Some(
            Caution::from(CautionCode::Scald)
                .with("temperature_c", response.temperature_c)
                .with("latent_heat_kj_per_kg", response.latent_heat_kj_per_kg),
        ),
        Some(Caution::from(CautionCode::LicensedService)),
        Some(Caution::from(CautionCode::TrappedAir)),
        Some(rises),
        place.high_altitude_caution(),
        is_standard.then(|| {
            Caution::from(CautionCode::PressureFromAltitude)
                .with("weather_spread_hpa", WEATHER_SPREAD_HPA)
        }),
    ];
    raised.into_iter().flatten().collect()
}

/// Ids of everything that the answer rests on.
fn sources(place: &Place, has_refill: bool) -> Vec<&'static str> {
    let used = [
        Some("iapws2012"),
        place.known.source(),
        has_refill.then_some("heat-balance"),
        Some("units"),
    ];
    used.into_iter().flatten().collect()
}
