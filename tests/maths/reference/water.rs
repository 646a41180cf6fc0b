//! The official verification values of [iapws2012] and [iapws2008], and boiling points in
//! `tests/data/iso2533_altitude.csv`; see docs/REFERENCES.md.

use extraction_maths::maths::quantity::Pressure;
use extraction_maths::maths::water::saturation::{boiling_slope_k_per_hpa, boiling_temperature};
use extraction_maths::maths::water::viscosity::viscosity_pa_s;
use extraction_maths::maths::water::{region1, region2, region4};

use crate::support::{Row, cell, published, table};

/// The official rows whose table begins with these words.
fn official(start: &str) -> Vec<Row> {
    let mut rows = table("iapws2012_verification.csv");
    rows.retain(|row| row["source_table"].starts_with(start));
    assert!(!rows.is_empty(), "no rows of {start}");
    rows
}

/// The number after `name=` in the state of a row, such as `T=300 K p=3 MPa`.
fn state(row: &Row, name: &str) -> f64 {
    let (_, after) = row["state"].split_once(&format!("{name}=")).unwrap();
    after.split_whitespace().next().unwrap().parse().unwrap()
}

/// [iapws2012] table 35, three rows
#[test]
fn saturation_pressure_matches_table_35() {
    for row in official("R7-97 Table 35") {
        let computed = region4::saturation_pressure_mpa(state(&row, "T")).unwrap();
        published(computed, &row["published"], "MPa");
    }
}

/// [iapws2012] table 36, three rows
#[test]
fn saturation_temperature_matches_table_36() {
    for row in official("R7-97 Table 36") {
        let computed = region4::saturation_temperature_k(state(&row, "p")).unwrap();
        published(computed, &row["published"], "K");
    }
}

/// [iapws2012] table 5: volume, enthalpy and heat capacity at three states
#[test]
fn liquid_properties_match_table_5() {
    for row in official("R7-97 Table 5 ") {
        let liquid = region1::properties(state(&row, "T"), state(&row, "p")).unwrap();
        let computed = match row["unit"].as_str() {
            "m3/kg" => liquid.volume_m3_per_kg,
            "kJ/kg" => liquid.enthalpy_kj_per_kg,
            "kJ/kg/K" => liquid.heat_capacity_kj_per_kg_k,
            other => panic!("unit {other}"),
        };
        published(computed, &row["published"], &row["unit"]);
    }
}

/// [iapws2012] table 15: volume and enthalpy at three states
#[test]
fn steam_properties_match_table_15() {
    for row in official("R7-97 Table 15") {
        let steam = region2::properties(state(&row, "T"), state(&row, "p")).unwrap();
        let computed = match row["unit"].as_str() {
            "m3/kg" => steam.volume_m3_per_kg,
            "kJ/kg" => steam.enthalpy_kj_per_kg,
            other => panic!("unit {other}"),
        };
        published(computed, &row["published"], &row["unit"]);
    }
}

/// [iapws2008] table 4, mu2 = 1, five of its rows
#[test]
fn viscosity_matches_table_4() {
    for row in official("R12-08 Table 4") {
        let computed = viscosity_pa_s(state(&row, "T"), state(&row, "rho")).unwrap();
        published(computed * 1e6, &row["published"], "uPa s");
    }
}

/// Boiling points of all 144 air pressures, -500 to 5500 m: the same formulation evaluated by
/// other libraries, and the scientific formulation IAPWS-95, which is another equation of state
#[test]
fn boiling_point_matches_every_row() {
    /// Asked of every answer, in kelvin; the two evaluations agree to 1e-12.
    const SAME_FORMULATION: f64 = 2e-7;
    /// Largest distance of the two formulations from 500 to 1100 hPa is 0.23 mK.
    const OTHER_FORMULATION: f64 = 1e-3;
    let rows = table("iso2533_altitude.csv");
    assert_eq!(rows.len(), 144);
    for row in rows {
        let air = Pressure::from_pascals(cell(&row, "station_p_pa")).unwrap();
        let computed = boiling_temperature(air).unwrap().celsius();
        let same = (computed - cell(&row, "t_boil_if97_c")).abs();
        assert!(same < SAME_FORMULATION, "{}: {same} K", row["id"]);
        let other = (computed - cell(&row, "t_boil_iapws95_c")).abs();
        assert!(other < OTHER_FORMULATION, "{}: {other} K", row["id"]);
    }
}

/// Arithmetic on the rows of [iapws2012] by others: 0.0277 K/hPa at 1013 hPa, 0.0336 at 800 hPa
#[test]
fn boiling_slope_matches_worked_values() {
    for (hectopascals, printed) in [(1_013.0, "0.0277"), (800.0, "0.0336")] {
        let air = Pressure::from_hectopascals(hectopascals).unwrap();
        published(boiling_slope_k_per_hpa(air).unwrap(), printed, "K/hPa");
    }
}
