//! Air pressure: [iso2533], [icao7488], [wmo8], see docs/REFERENCES.md; rows computed from
//! those equations outside this project in `tests/data/iso2533_altitude.csv`.

use extraction_maths::maths::air::sea_level::{self, Weather};
use extraction_maths::maths::air::{altimetry, atmosphere};
use extraction_maths::maths::quantity::{
    Altitude, GeopotentialAltitude, Pressure, RelativeHumidity, Temperature,
};
use extraction_maths::maths::water::altitude::{boiling_altitude, boiling_geopotential_altitude};

use crate::support::{cell, published, relative, rows_of_kind};

/// What the equation must reproduce of a row that was computed from the same equation.
const SAME_EQUATION: f64 = 1e-9;

fn geopotential(metres: f64) -> GeopotentialAltitude {
    GeopotentialAltitude::from_metres(metres).unwrap()
}

fn geometric(metres: f64) -> Altitude {
    Altitude::from_metres(metres).unwrap()
}

fn hectopascals(value: f64) -> Pressure {
    Pressure::from_hectopascals(value).unwrap()
}

/// ICAO Doc 7488, geometric altitude 1000 m: 8.98763e4 Pa, as quoted in an open test suite
#[test]
fn pressure_at_1000_m_matches_the_icao_table() {
    let place = atmosphere::geopotential(geometric(1_000.0)).unwrap();
    published(
        atmosphere::air_pressure(place).unwrap().pascals(),
        "8.98763e4",
        "Pa",
    );
}

/// ICAO Doc 7488, geometric altitude 2000 m: 7.95014e4 Pa, as quoted in an open test suite
#[test]
fn pressure_at_2000_m_matches_the_icao_table() {
    let place = atmosphere::geopotential(geometric(2_000.0)).unwrap();
    published(
        atmosphere::air_pressure(place).unwrap().pascals(),
        "7.95014e4",
        "Pa",
    );
}

/// A published table in bar gives 0.7469 at 2500 m, which only a geometric altitude reproduces
#[test]
fn printed_table_at_2500_m_is_geometric() {
    let from_map = atmosphere::geopotential(geometric(2_500.0)).unwrap();
    published(
        atmosphere::air_pressure(from_map).unwrap().pascals() / 1e5,
        "0.7469",
        "bar",
    );
    let otherwise = atmosphere::air_pressure(geopotential(2_500.0)).unwrap();
    published(otherwise.pascals() / 1e5, "0.7468", "bar");
}

/// ISO 2533 evaluated outside this project, geopotential altitudes -500 to 5500 m
#[test]
fn pressure_at_geopotential_altitude_matches_every_row() {
    for row in rows_of_kind("iso2533_altitude.csv", "isa_geopotential") {
        let place = geopotential(cell(&row, "geopotential_m"));
        let expected = cell(&row, "station_p_pa");
        let computed = atmosphere::air_pressure(place).unwrap();
        relative(computed.pascals(), expected, SAME_EQUATION, &row["id"]);
        let back = atmosphere::pressure_altitude(Pressure::from_pascals(expected).unwrap());
        // Metres: a relative tolerance has no meaning at the sea.
        assert!(
            (back.unwrap().metres() - place.metres()).abs() < 1e-6,
            "{}",
            row["id"]
        );
    }
}

/// ISO 2533 evaluated outside this project, geometric altitudes -500 to 5500 m
#[test]
fn pressure_at_geometric_altitude_matches_every_row() {
    for row in rows_of_kind("iso2533_altitude.csv", "isa_geometric") {
        let place = atmosphere::geopotential(geometric(cell(&row, "geometric_m"))).unwrap();
        let computed = atmosphere::air_pressure(place).unwrap();
        relative(
            computed.pascals(),
            cell(&row, "station_p_pa"),
            SAME_EQUATION,
            &row["id"],
        );
    }
}

/// The altimeter equation inverted outside this project
#[test]
fn pressure_from_altimeter_setting_matches_every_row() {
    for row in rows_of_kind("iso2533_altitude.csv", "qnh") {
        let setting = hectopascals(cell(&row, "qnh_hpa"));
        let place = geopotential(cell(&row, "geopotential_m"));
        let computed = altimetry::station_pressure(setting, place).unwrap();
        relative(
            computed.pascals(),
            cell(&row, "station_p_pa"),
            SAME_EQUATION,
            &row["id"],
        );
    }
}

/// ICAO Docs 7488 and 9837 give the altimeter setting in two steps with rounded constants:
/// `H_ISA = 44330.77 - 11880.32 QFE^0.190263`, `QNH = 1013.25 (1 - 0.0065 (H_ISA - H) /
/// 288.15)^5.25588`. Their rounding is worth 0.006 hPa at 844 hPa.
#[test]
fn altimeter_setting_agrees_with_the_two_steps_of_the_manual() {
    const ROUNDED_CONSTANTS_HPA: f64 = 0.02;
    for (station, elevation) in [(844.321, 1_609.3), (723.582, 2_640.0), (1_000.0, 50.0)] {
        let standard = 44_330.77 - 11_880.32 * f64::powf(station, 0.190_263);
        let base: f64 = 1.0 - 0.006_5 * (standard - elevation) / 288.15;
        let two_steps = 1_013.25 * base.powf(5.255_88);
        let exact =
            altimetry::altimeter_setting(hectopascals(station), geopotential(elevation)).unwrap();
        assert!(
            (exact.hectopascals() - two_steps).abs() < ROUNDED_CONSTANTS_HPA,
            "{two_steps}"
        );
    }
}

/// The reduction of WMO-No. 8 (read on a secondary page) evaluated outside this project
#[test]
fn pressure_from_sea_level_pressure_matches_every_row() {
    for row in rows_of_kind("iso2533_altitude.csv", "qff") {
        let sea = hectopascals(cell(&row, "qff_hpa"));
        let place = geopotential(cell(&row, "geopotential_m"));
        let weather = Weather {
            temperature: Temperature::from_celsius(cell(&row, "air_temp_c")).unwrap(),
            humidity: RelativeHumidity::from_percent(cell(&row, "rh_pct")).unwrap(),
        };
        let computed = sea_level::station_pressure(sea, place, weather).unwrap();
        relative(
            computed.pascals(),
            cell(&row, "station_p_pa"),
            SAME_EQUATION,
            &row["id"],
        );
    }
}

/// ISO 2533 and IAPWS-IF97 evaluated outside this project: where a target temperature boils
#[test]
fn altitude_where_a_temperature_boils_matches_every_row() {
    /// A micrometre is 3 nK of boiling point.
    const METRES: f64 = 1e-6;
    for row in rows_of_kind("iso2533_altitude.csv", "inverse") {
        let target = Temperature::from_celsius(cell(&row, "target_t_c")).unwrap();
        let level = boiling_geopotential_altitude(target).unwrap().metres();
        assert!(
            (level - cell(&row, "geopotential_m")).abs() < METRES,
            "{}",
            row["id"]
        );
        let place = boiling_altitude(target).unwrap().metres();
        assert!(
            (place - cell(&row, "geometric_m")).abs() < METRES,
            "{}",
            row["id"]
        );
    }
}
