//! Boiling water: round trips, monotony, thermodynamic identities, limits.

use extraction_maths::maths::quantity::{GaugePressure, Pressure, Temperature};
use extraction_maths::maths::water::altitude::{boiling_altitude, boiling_geopotential_altitude};
use extraction_maths::maths::water::flash::flash_fraction;
use extraction_maths::maths::water::gauge::{boiling_temperature_under, saturation_gauge};
use extraction_maths::maths::water::liquid::{
    liquid_density, liquid_enthalpy, liquid_heat_capacity,
};
use extraction_maths::maths::water::saturation::{self, boiling_temperature, saturation_pressure};
use extraction_maths::maths::water::viscosity::liquid_viscosity;
use extraction_maths::maths::water::{region1, region2};
use proptest::prelude::*;

use crate::support::relative;

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).unwrap()
}

fn hectopascals(value: f64) -> Pressure {
    Pressure::from_hectopascals(value).unwrap()
}

proptest! {
    #[test]
    fn saturation_is_its_own_inverse(pressure in 6.12..16_200.0f64) {
        let boiling = boiling_temperature(hectopascals(pressure)).unwrap();
        let back = saturation_pressure(boiling).unwrap();
        prop_assert!((back.hectopascals() / pressure - 1.0).abs() < 1e-11);
    }

    #[test]
    fn boiling_point_rises_with_pressure(pressure in 6.12..16_190.0f64, more in 0.001..10.0f64) {
        let low = boiling_temperature(hectopascals(pressure)).unwrap();
        prop_assert!(boiling_temperature(hectopascals(pressure + more)).unwrap() > low);
    }

    #[test]
    fn slope_is_the_difference_quotient(pressure in 7.0..16_100.0f64) {
        let step = pressure * 1e-4;
        let at = |p: f64| boiling_temperature(hectopascals(p)).unwrap().celsius();
        let quotient = (at(pressure + step) - at(pressure - step)) / (2.0 * step);
        let slope = saturation::boiling_slope_k_per_hpa(hectopascals(pressure)).unwrap();
        prop_assert!((slope / quotient - 1.0).abs() < 1e-6);
    }

    #[test]
    fn slope_obeys_clausius_and_clapeyron(pressure in 300.0..16_200.0f64) {
        // dT/dp = T (v_g - v_f) / h_fg; regions 1, 2 and 4 are separate fits that agree on the
        // line to some 1e-4 of this quotient.
        let air = hectopascals(pressure);
        let boiling = boiling_temperature(air).unwrap();
        let latent = saturation::latent_heat(boiling).unwrap().kilojoules_per_kilogram() * 1e3;
        let vapour = saturation::vapour_volume(boiling).unwrap().cubic_metres_per_kilogram();
        let liquid = 1.0 / liquid_density(boiling, air).unwrap().kilograms_per_cubic_metre();
        let expected = boiling.kelvin() * (vapour - liquid) / latent * 100.0;
        let slope = saturation::boiling_slope_k_per_hpa(air).unwrap();
        prop_assert!((slope / expected - 1.0).abs() < 1e-3, "{slope} {expected}");
    }

    #[test]
    fn enthalpies_rise_and_latent_heat_falls(t in 0.01..201.0f64, more in 0.01..1.0f64) {
        let (low, high) = (celsius(t), celsius(t + more));
        prop_assert!(saturation::liquid_enthalpy(high).unwrap() > saturation::liquid_enthalpy(low).unwrap());
        prop_assert!(saturation::vapour_enthalpy(high).unwrap() > saturation::vapour_enthalpy(low).unwrap());
        prop_assert!(saturation::latent_heat(high).unwrap() < saturation::latent_heat(low).unwrap());
        prop_assert!(saturation::vapour_volume(high).unwrap() < saturation::vapour_volume(low).unwrap());
    }

    #[test]
    fn heat_capacity_is_the_slope_of_enthalpy(t in 1.0..150.0f64, pressure in 5_000.0..16_200.0f64) {
        let p = hectopascals(pressure);
        let at = |t: f64| liquid_enthalpy(celsius(t), p).unwrap().kilojoules_per_kilogram();
        let quotient = (at(t + 0.01) - at(t - 0.01)) / 0.02;
        let capacity = liquid_heat_capacity(celsius(t), p).unwrap().kilojoules_per_kilogram_kelvin();
        prop_assert!((capacity / quotient - 1.0).abs() < 1e-7);
    }

    #[test]
    fn volume_and_enthalpy_come_from_one_potential(t in 280.0..470.0f64, p in 2.0..50.0f64) {
        // (dh/dp)_T = v - T (dv/dT)_p; 1 kJ/kg per MPa is 1e-3 m3/kg.
        let at = |t: f64, p: f64| region1::properties(t, p).unwrap();
        let left = (at(t, p + 0.01).enthalpy_kj_per_kg - at(t, p - 0.01).enthalpy_kj_per_kg) / 0.02;
        let expansion = (at(t + 0.01, p).volume_m3_per_kg - at(t - 0.01, p).volume_m3_per_kg) / 0.02;
        let right = at(t, p).volume_m3_per_kg - t * expansion;
        prop_assert!((left * 1e-3 - right).abs() < 1e-9, "{left} {right}");
    }

    #[test]
    fn steam_volume_and_enthalpy_come_from_one_potential(t in 400.0..700.0f64, p in 0.05..0.2f64) {
        let at = |t: f64, p: f64| region2::properties(t, p).unwrap();
        let step = 1e-4;
        let left = (at(t, p + step).enthalpy_kj_per_kg - at(t, p - step).enthalpy_kj_per_kg) / (2.0 * step);
        let expansion = (at(t + 0.01, p).volume_m3_per_kg - at(t - 0.01, p).volume_m3_per_kg) / 0.02;
        let right = at(t, p).volume_m3_per_kg - t * expansion;
        prop_assert!((left * 1e-3 / right - 1.0).abs() < 1e-5, "{left} {right}");
    }

    #[test]
    fn density_and_viscosity_fall_with_heat(t in 5.0..150.0f64, more in 0.01..5.0f64) {
        let p = hectopascals(10_000.0);
        prop_assert!(liquid_density(celsius(t + more), p).unwrap() < liquid_density(celsius(t), p).unwrap());
        prop_assert!(liquid_viscosity(celsius(t + more), p).unwrap() < liquid_viscosity(celsius(t), p).unwrap());
    }

    #[test]
    fn flash_is_nothing_below_boiling_and_grows_above(air in 300.0..1_100.0f64, over in 0.0..90.0f64) {
        let place = hectopascals(air);
        let boiling = boiling_temperature(place).unwrap().celsius();
        let below = flash_fraction(celsius((boiling - over).max(0.0)), place).unwrap();
        prop_assert_eq!(below.fraction().to_bits(), 0);
        let above = flash_fraction(celsius(boiling + over), place).unwrap();
        prop_assert!(flash_fraction(celsius(boiling + over + 0.1), place).unwrap() > above);
        // About cp / h_fg = 1/540 a kelvin: 4.2 to 4.4 kJ/(kg K) over 2230 to 2340 kJ/kg.
        prop_assert!(above.fraction() >= over * 0.0017 && above.fraction() <= over * 0.0020);
    }

    #[test]
    fn gauge_and_temperature_are_inverse(bar in 0.0..15.0f64, air in 300.0..1_100.0f64) {
        let place = hectopascals(air);
        let gauge = GaugePressure::from_bar(bar).unwrap();
        let boiler = boiling_temperature_under(gauge, place).unwrap();
        // A gauge at zero may come back a hair below it, which is refused.
        prop_assume!(bar > 1e-6);
        let back = saturation_gauge(boiler, place).unwrap();
        prop_assert!((back.bar() - bar).abs() < 1e-9);
    }

    #[test]
    fn the_boiling_altitude_has_that_boiling_point(t in 70.0..101.0f64) {
        use extraction_maths::maths::air::atmosphere::{air_pressure, geopotential};
        let level = boiling_geopotential_altitude(celsius(t)).unwrap();
        let boiling = boiling_temperature(air_pressure(level).unwrap()).unwrap();
        prop_assert!((boiling.celsius() - t).abs() < 1e-9);
        let place = boiling_altitude(celsius(t)).unwrap();
        prop_assert!((geopotential(place).unwrap().metres() - level.metres()).abs() < 1e-6);
    }
}

/// Low pressure makes steam an ideal gas: p v = R T, with R = 461.526 J/(kg K)
#[test]
fn thin_steam_is_an_ideal_gas() {
    let steam = region2::properties(373.15, 0.0006).unwrap();
    relative(
        steam.volume_m3_per_kg * 600.0,
        461.526 * 373.15,
        1e-4,
        "p v",
    );
}
