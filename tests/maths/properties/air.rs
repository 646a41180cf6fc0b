//! Air pressure: round trips, monotony, limits, edges.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::air::sea_level::{self, Weather};
use extraction_maths::maths::air::{altimetry, atmosphere};
use extraction_maths::maths::quantity::{
    Altitude, GeopotentialAltitude, Pressure, RelativeHumidity, Temperature,
};
use proptest::prelude::*;

use crate::support::relative;

fn level(metres: f64) -> GeopotentialAltitude {
    GeopotentialAltitude::from_metres(metres).unwrap()
}

fn hectopascals(value: f64) -> Pressure {
    Pressure::from_hectopascals(value).unwrap()
}

fn weather(celsius: f64, percent: f64) -> Weather {
    Weather {
        temperature: Temperature::from_celsius(celsius).unwrap(),
        humidity: RelativeHumidity::from_percent(percent).unwrap(),
    }
}

proptest! {
    #[test]
    fn pressure_and_altitude_are_inverse(metres in -500.0..9_000.0f64) {
        let pressure = atmosphere::air_pressure(level(metres)).unwrap();
        let back = atmosphere::pressure_altitude(pressure).unwrap();
        prop_assert!((back.metres() - metres).abs() < 1e-7);
    }

    #[test]
    fn geometric_and_geopotential_are_inverse(metres in -500.0..8_999.9f64) {
        let place = Altitude::from_metres(metres).unwrap();
        let height = atmosphere::geopotential(place).unwrap();
        prop_assert!(height.metres() <= metres);
        prop_assert!((atmosphere::geometric(height).unwrap().metres() - metres).abs() < 1e-7);
    }

    #[test]
    fn pressure_falls_with_altitude(metres in -500.0..8_990.0f64, up in 0.001..10.0f64) {
        let low = atmosphere::air_pressure(level(metres)).unwrap();
        prop_assert!(atmosphere::air_pressure(level(metres + up)).unwrap() < low);
    }

    #[test]
    fn pressure_and_altimeter_setting_are_inverse(
        setting in 870.0..1_085.0f64,
        metres in -500.0..9_000.0f64,
    ) {
        let station = altimetry::station_pressure(hectopascals(setting), level(metres)).unwrap();
        let back = altimetry::altimeter_setting(station, level(metres)).unwrap();
        prop_assert!((back.hectopascals() - setting).abs() < 1e-9);
    }

    #[test]
    fn standard_setting_gives_the_standard_atmosphere(metres in -500.0..9_000.0f64) {
        let station = altimetry::station_pressure(hectopascals(1_013.25), level(metres)).unwrap();
        let standard = atmosphere::air_pressure(level(metres)).unwrap();
        prop_assert!((station.hectopascals() - standard.hectopascals()).abs() < 1e-9);
    }

    #[test]
    fn an_altimeter_shows_the_difference_of_two_standard_levels(
        setting in 900.0..1_085.0f64,
        metres in 0.0..8_000.0f64,
    ) {
        // The altimeter's own way: elevation = level of the station - level of the setting.
        let station = altimetry::station_pressure(hectopascals(setting), level(metres)).unwrap();
        let above = 44_330.769_230_769_23; // 288.15 K / 0.0065 K/m, hand arithmetic
        let shown = |p: Pressure| above * (1.0 - (p.hectopascals() / 1_013.25).powf(1.0 / 5.255_879_812_716_677));
        prop_assert!((shown(station) - shown(hectopascals(setting)) - metres).abs() < 1e-6);
    }

    #[test]
    fn pressure_and_sea_level_pressure_are_inverse(
        sea in 870.0..1_085.0f64,
        metres in -500.0..9_000.0f64,
        celsius in -45.0..60.0f64,
        percent in 0.0..100.0f64,
    ) {
        let air = weather(celsius, percent);
        let station = sea_level::station_pressure(hectopascals(sea), level(metres), air).unwrap();
        let back = sea_level::sea_level_pressure(station, level(metres), air).unwrap();
        prop_assert!((back.hectopascals() - sea).abs() < 1e-9);
    }

    #[test]
    fn warm_or_moist_air_weighs_less(
        metres in 1.0..3_000.0f64,
        celsius in -40.0..50.0f64,
        percent in 0.0..90.0f64,
    ) {
        let at = |air| sea_level::station_pressure(hectopascals(1_010.0), level(metres), air).unwrap();
        let base = at(weather(celsius, percent));
        prop_assert!(at(weather(celsius + 5.0, percent)) > base);
        prop_assert!(at(weather(celsius, percent + 10.0)) > base);
    }
}

/// Dry air of 288.15 K at the sea, isothermal over 1 m: dp/dz = -p g0 / (R T) by hand is
/// -1013.25 * 9.80665 / (287.05287 * 288.15) = -0.120130 hPa/m
#[test]
fn a_metre_at_the_sea_is_0_12_hectopascal() {
    let metre = 1_013.25 - atmosphere::air_pressure(level(1.0)).unwrap().hectopascals();
    relative(metre, 0.120_130, 1e-4, "standard atmosphere");
    let reduced =
        sea_level::station_pressure(hectopascals(1_013.25), level(1.0), weather(15.0, 0.0));
    relative(
        1_013.25 - reduced.unwrap().hectopascals(),
        0.120_130,
        1e-4,
        "sea-level pressure",
    );
}

#[test]
fn all_ways_agree_at_the_sea() {
    let sea = level(0.0);
    let air = hectopascals(997.3);
    let qnh = altimetry::station_pressure(air, sea).unwrap();
    relative(qnh.hectopascals(), 997.3, 1e-14, "altimeter setting");
    let qff = sea_level::station_pressure(air, sea, weather(20.0, 50.0)).unwrap();
    relative(qff.hectopascals(), 997.3, 1e-15, "sea-level pressure");
}

#[test]
fn both_ends_of_the_altitudes_are_accepted() {
    for metres in [Altitude::RANGE.min, Altitude::RANGE.max] {
        let place = Altitude::from_metres(metres).unwrap();
        let height = atmosphere::geopotential(place).unwrap();
        let air = atmosphere::air_pressure(height).unwrap();
        assert!(Pressure::AIR.contains(air.hectopascals()));
    }
    for metres in [
        GeopotentialAltitude::RANGE.min,
        GeopotentialAltitude::RANGE.max,
    ] {
        assert!(atmosphere::air_pressure(level(metres)).is_ok());
    }
}

#[test]
fn pressures_of_no_altitude_are_refused() {
    for pressure in [1.0, 306.0, 1_076.0, 20_000.0] {
        let refused = atmosphere::pressure_altitude(hectopascals(pressure)).unwrap_err();
        assert!(matches!(
            refused,
            MathsError::OutOfRange {
                quantity: "geopotential altitude",
                ..
            }
        ));
    }
    // The last metres of the geopotential range have no geometric altitude in range.
    assert!(atmosphere::geometric(level(GeopotentialAltitude::RANGE.max)).is_err());
}

#[test]
fn sea_level_pressures_outside_their_range_are_refused() {
    let mild = weather(15.0, 50.0);
    for end in [Pressure::AIR.min, Pressure::AIR.max] {
        assert!(altimetry::station_pressure(hectopascals(end), level(500.0)).is_ok());
        assert!(sea_level::station_pressure(hectopascals(end), level(500.0), mild).is_ok());
    }
    for outside in [Pressure::AIR.min.next_down(), Pressure::AIR.max.next_up()] {
        let pressure = hectopascals(outside);
        let refused = altimetry::station_pressure(pressure, level(500.0)).unwrap_err();
        assert!(matches!(
            refused,
            MathsError::OutOfRange {
                quantity: "air pressure",
                ..
            }
        ));
        let refused = sea_level::station_pressure(pressure, level(500.0), mild).unwrap_err();
        assert!(matches!(
            refused,
            MathsError::OutOfRange {
                quantity: "air pressure",
                ..
            }
        ));
    }
    // One hectopascal reduced from below the sea is less than the least pressure there is here.
    assert!(altimetry::altimeter_setting(hectopascals(1.0), level(-501.0)).is_err());
}

#[test]
fn air_temperatures_outside_their_range_are_refused() {
    for celsius in [Temperature::AIR.min, Temperature::AIR.max] {
        let air = weather(celsius, 50.0);
        assert!(sea_level::station_pressure(hectopascals(1_000.0), level(100.0), air).is_ok());
    }
    for celsius in [
        Temperature::AIR.min.next_down(),
        Temperature::AIR.max.next_up(),
    ] {
        let air = weather(celsius, 50.0);
        let refused = sea_level::station_pressure(hectopascals(1_000.0), level(100.0), air);
        assert!(matches!(
            refused,
            Err(MathsError::OutOfRange {
                quantity: "air temperature",
                ..
            })
        ));
    }
}

#[test]
fn humidity_is_a_percentage() {
    assert!(RelativeHumidity::from_percent(0.0).is_ok());
    assert!(RelativeHumidity::from_percent(100.0).is_ok());
    assert!(RelativeHumidity::from_percent(100.1).is_err());
    assert!(matches!(
        RelativeHumidity::from_percent(f64::NAN),
        Err(MathsError::NonFinite {
            quantity: "relative humidity"
        })
    ));
}
