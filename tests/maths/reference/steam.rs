//! Boilers, flash steam and liquid water against other libraries: rows of [iapws2012] and of the
//! scientific formulation in tests/data, and a library in the loop; see docs/REFERENCES.md.

use extraction_maths::maths::quantity::{GaugePressure, Pressure, Temperature};
use extraction_maths::maths::water::flash::flash_fraction;
use extraction_maths::maths::water::gauge::{boiling_temperature_under, saturation_gauge};
use extraction_maths::maths::water::liquid::{
    liquid_density, liquid_enthalpy, liquid_heat_capacity,
};
use extraction_maths::maths::water::saturation;
use extraction_maths::maths::water::viscosity::liquid_viscosity;

use crate::support::{cell, relative, rows_of_kind, table};

/// The same equations evaluated by another library, relative.
const SAME_FORMULATION: f64 = 1e-9;

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).unwrap()
}

fn pascals(value: f64) -> Pressure {
    Pressure::from_pascals(value).unwrap()
}

#[test]
fn boiler_temperature_from_gauge_matches_every_row() {
    /// Largest distance of the two formulations up to 16 bar, kelvin.
    const OTHER_FORMULATION: f64 = 8e-3;
    for row in rows_of_kind("iapws2012_steam.csv", "gauge_to_t") {
        let gauge = GaugePressure::from_bar(cell(&row, "p_gauge_bar")).unwrap();
        let air = pascals(cell(&row, "station_p_pa"));
        let computed = boiling_temperature_under(gauge, air).unwrap().celsius();
        relative(computed, cell(&row, "t_c"), SAME_FORMULATION, &row["id"]);
        let other = (computed - cell(&row, "other_formulation")).abs();
        assert!(other < OTHER_FORMULATION, "{}: {other} K", row["id"]);
    }
}

#[test]
fn gauge_from_boiler_temperature_matches_every_row() {
    /// Largest distance of the two formulations' saturation pressures, relative.
    const OTHER_FORMULATION: f64 = 1.8e-4;
    for row in rows_of_kind("iapws2012_steam.csv", "t_to_gauge") {
        let air = pascals(cell(&row, "station_p_pa"));
        let computed = saturation_gauge(celsius(cell(&row, "t_c")), air).unwrap();
        relative(
            computed.bar(),
            cell(&row, "p_gauge_bar"),
            SAME_FORMULATION,
            &row["id"],
        );
        let absolute = computed.above(air).unwrap().hectopascals();
        let other = cell(&row, "other_formulation") * 1e3 + air.hectopascals();
        relative(absolute, other, OTHER_FORMULATION, &row["id"]);
    }
}

#[test]
fn saturated_states_match_every_row() {
    for row in table("iapws2012_steam.csv") {
        let t = celsius(cell(&row, "t_c"));
        let check = |computed: f64, column: &str| {
            relative(
                computed,
                cell(&row, column),
                SAME_FORMULATION,
                &format!("{} {column}", row["id"]),
            );
        };
        check(
            saturation::saturation_pressure(t).unwrap().pascals(),
            "p_abs_pa",
        );
        let liquid = saturation::liquid_enthalpy(t).unwrap();
        check(liquid.kilojoules_per_kilogram(), "h_f_kj_kg");
        let vapour = saturation::vapour_enthalpy(t).unwrap();
        check(vapour.kilojoules_per_kilogram(), "h_g_kj_kg");
        check(
            saturation::latent_heat(t)
                .unwrap()
                .kilojoules_per_kilogram(),
            "h_fg_kj_kg",
        );
        let volume = saturation::vapour_volume(t).unwrap();
        check(volume.cubic_metres_per_kilogram(), "v_g_m3_kg");
        let flash = flash_fraction(t, pascals(cell(&row, "station_p_pa"))).unwrap();
        check(flash.fraction(), "flash_fraction_to_ambient");
    }
}

#[test]
fn liquid_properties_match_every_row() {
    /// Largest relative distances of this formulation from the scientific one over the table,
    /// and of the viscosities at the two densities; each rounded up in its second digit.
    const OTHER: [f64; 3] = [1.6e-5, 5.4e-4, 2.2e-5];
    for row in table("iapws2012_liquid.csv") {
        let (t, p) = (
            celsius(cell(&row, "t_c")),
            pascals(cell(&row, "p_bar_abs") * 1e5),
        );
        let name = format!("{} °C, {} bar", row["t_c"], row["p_bar_abs"]);
        let density = liquid_density(t, p).unwrap().kilograms_per_cubic_metre();
        relative(density, cell(&row, "rho_if97"), SAME_FORMULATION, &name);
        relative(density, cell(&row, "rho_iapws95"), OTHER[0], &name);
        let enthalpy = liquid_enthalpy(t, p).unwrap().kilojoules_per_kilogram();
        relative(
            enthalpy,
            cell(&row, "h_if97_kj_kg"),
            SAME_FORMULATION,
            &name,
        );
        let capacity = liquid_heat_capacity(t, p)
            .unwrap()
            .kilojoules_per_kilogram_kelvin();
        relative(
            capacity,
            cell(&row, "cp_if97_kj_kgk"),
            SAME_FORMULATION,
            &name,
        );
        relative(capacity, cell(&row, "cp_iapws95"), OTHER[1], &name);
        let viscosity = liquid_viscosity(t, p).unwrap().pascal_seconds();
        relative(
            viscosity,
            cell(&row, "mu_r12_08_pa_s"),
            SAME_FORMULATION,
            &name,
        );
        relative(viscosity, cell(&row, "mu_coolprop"), OTHER[2], &name);
    }
}

/// The library `seuif97` (IAPWS-IF97, MIT licence) on the saturation line, over the whole range
#[test]
fn saturation_line_matches_the_library() {
    for step in 1..=201 {
        let t = f64::from(step);
        let name = format!("{t} °C");
        let temperature = celsius(t);
        let pressure = saturation::saturation_pressure(temperature).unwrap();
        let theirs = seuif97::tx(t, 0.0, seuif97::OP);
        relative(pressure.megapascals(), theirs, SAME_FORMULATION, &name);
        let back = saturation::boiling_temperature(pressure).unwrap().celsius();
        relative(
            back,
            seuif97::px(theirs, 0.0, seuif97::OT),
            SAME_FORMULATION,
            &name,
        );
        let liquid = saturation::liquid_enthalpy(temperature).unwrap();
        let theirs = seuif97::tx(t, 0.0, seuif97::OH);
        relative(
            liquid.kilojoules_per_kilogram(),
            theirs,
            SAME_FORMULATION,
            &name,
        );
        let vapour = saturation::vapour_enthalpy(temperature).unwrap();
        let theirs = seuif97::tx(t, 1.0, seuif97::OH);
        relative(
            vapour.kilojoules_per_kilogram(),
            theirs,
            SAME_FORMULATION,
            &name,
        );
        let volume = saturation::vapour_volume(temperature).unwrap();
        let theirs = seuif97::tx(t, 1.0, seuif97::OV);
        relative(
            volume.cubic_metres_per_kilogram(),
            theirs,
            SAME_FORMULATION,
            &name,
        );
    }
}

/// The library `seuif97` on liquid water from 0 to 200 °C at 16.2 bar
#[test]
fn compressed_liquid_matches_the_library() {
    let p = Pressure::from_hectopascals(16_200.0).unwrap();
    for step in 0..=20 {
        let t = f64::from(step) * 10.0;
        let name = format!("{t} °C");
        let density = liquid_density(celsius(t), p)
            .unwrap()
            .kilograms_per_cubic_metre();
        relative(
            density,
            1.0 / seuif97::pt(1.62, t, seuif97::OV),
            SAME_FORMULATION,
            &name,
        );
        let enthalpy = liquid_enthalpy(celsius(t), p)
            .unwrap()
            .kilojoules_per_kilogram();
        relative(
            enthalpy,
            seuif97::pt(1.62, t, seuif97::OH),
            SAME_FORMULATION,
            &name,
        );
        let capacity = liquid_heat_capacity(celsius(t), p).unwrap();
        let theirs = seuif97::pt(1.62, t, seuif97::OCP);
        relative(
            capacity.kilojoules_per_kilogram_kelvin(),
            theirs,
            SAME_FORMULATION,
            &name,
        );
        let viscosity = liquid_viscosity(celsius(t), p).unwrap().pascal_seconds();
        relative(
            viscosity,
            seuif97::pt(1.62, t, seuif97::ODV),
            SAME_FORMULATION,
            &name,
        );
    }
}
