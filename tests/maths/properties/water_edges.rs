//! Boiling water: both ends of every range answer, and beyond them is refused.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::quantity::{GaugePressure, Pressure, Temperature};
use extraction_maths::maths::range::Range;
use extraction_maths::maths::water::altitude::boiling_altitude;
use extraction_maths::maths::water::flash::flash_fraction;
use extraction_maths::maths::water::gauge::{boiling_temperature_under, saturation_gauge};
use extraction_maths::maths::water::liquid::{
    liquid_density, liquid_enthalpy, liquid_heat_capacity,
};
use extraction_maths::maths::water::saturation::{self, boiling_temperature, saturation_pressure};
use extraction_maths::maths::water::viscosity::{liquid_viscosity, viscosity_pa_s};
use extraction_maths::maths::water::{region1, region2, region4, viscosity};

/// A released equation of one argument, the others held.
type Equation = fn(f64) -> Result<f64, MathsError>;

const EQUATIONS: [(Range, Equation); 9] = [
    (region4::TEMPERATURE, region4::saturation_pressure_mpa),
    (region4::PRESSURE, region4::saturation_temperature_k),
    (region4::PRESSURE, region4::saturation_slope_k_per_mpa),
    (region1::TEMPERATURE, |t| {
        region1::properties(t, 20.0).map(|l| l.enthalpy_kj_per_kg)
    }),
    (region1::PRESSURE, |p| {
        region1::properties(300.0, p).map(|l| l.enthalpy_kj_per_kg)
    }),
    (region2::TEMPERATURE, |t| {
        region2::properties(t, 0.0006).map(|s| s.enthalpy_kj_per_kg)
    }),
    (region2::PRESSURE, |p| {
        region2::properties(1_000.0, p).map(|s| s.enthalpy_kj_per_kg)
    }),
    (viscosity::TEMPERATURE, |t| viscosity_pa_s(t, 1.0)),
    (viscosity::DENSITY, |rho| viscosity_pa_s(300.0, rho)),
];

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).unwrap()
}

fn hectopascals(value: f64) -> Pressure {
    Pressure::from_hectopascals(value).unwrap()
}

#[test]
fn equations_answer_over_the_range_of_their_release_and_no_further() {
    for (range, equation) in EQUATIONS {
        for end in [range.min, range.max] {
            assert!(equation(end).unwrap().is_finite(), "{range:?}");
        }
        for outside in [range.min.next_down(), range.max.next_up()] {
            let refused = equation(outside).unwrap_err();
            assert!(
                matches!(refused, MathsError::OutOfRange { .. }),
                "{range:?}"
            );
        }
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let refused = equation(bad).unwrap_err();
            assert!(matches!(refused, MathsError::NonFinite { .. }), "{range:?}");
        }
    }
}

#[test]
fn highest_gauge_on_highest_air_pressure_still_answers() {
    let gauge = GaugePressure::from_bar(GaugePressure::RANGE.max).unwrap();
    let boiler = boiling_temperature_under(gauge, hectopascals(Pressure::AIR.max)).unwrap();
    assert!(Temperature::SATURATION.contains(boiler.celsius()));
    assert!(saturation::latent_heat(boiler).is_ok());
    assert!(flash_fraction(boiler, hectopascals(Pressure::AIR.max)).is_ok());
    let lowest =
        boiling_temperature_under(GaugePressure::from_bar(0.0).unwrap(), hectopascals(300.0));
    assert!(lowest.is_ok());
}

#[test]
fn both_ends_of_the_saturation_line_answer_and_beyond_is_refused() {
    let range = Pressure::SATURATION;
    for end in [range.min, range.max] {
        let boiling = boiling_temperature(hectopascals(end)).unwrap();
        assert!(Temperature::SATURATION.contains(boiling.celsius()));
        assert!(saturation::boiling_slope_k_per_hpa(hectopascals(end)).is_ok());
    }
    for outside in [range.min.next_down(), range.max.next_up()] {
        let refused = boiling_temperature(hectopascals(outside)).unwrap_err();
        assert!(matches!(
            refused,
            MathsError::OutOfRange {
                quantity: "saturation pressure",
                ..
            }
        ));
        assert!(saturation::boiling_slope_k_per_hpa(hectopascals(outside)).is_err());
        assert!(flash_fraction(celsius(20.0), hectopascals(outside)).is_err());
    }
    let range = Temperature::SATURATION;
    for end in [range.min, range.max] {
        assert!(saturation_pressure(celsius(end)).is_ok());
        assert!(saturation::latent_heat(celsius(end)).is_ok());
        assert!(saturation::vapour_volume(celsius(end)).is_ok());
    }
    for outside in [range.min.next_down(), range.max.next_up()] {
        let refused = saturation_pressure(celsius(outside)).unwrap_err();
        assert!(matches!(refused, MathsError::OutOfRange { unit: "°C", .. }));
        assert!(saturation::liquid_enthalpy(celsius(outside)).is_err());
        assert!(saturation::vapour_enthalpy(celsius(outside)).is_err());
    }
}

#[test]
fn liquid_needs_its_saturation_pressure() {
    let hot = celsius(120.0);
    let exactly = saturation_pressure(hot).unwrap();
    assert!(liquid_density(hot, exactly).is_ok());
    let refused = liquid_density(hot, hectopascals(1_013.25)).unwrap_err();
    assert!(matches!(
        refused,
        MathsError::Inconsistent { unit: "MPa", .. }
    ));
    assert!(liquid_enthalpy(hot, hectopascals(1_013.25)).is_err());
    assert!(liquid_heat_capacity(hot, hectopascals(1_013.25)).is_err());
    assert!(liquid_viscosity(hot, hectopascals(1_013.25)).is_err());
}

#[test]
fn liquid_answers_over_its_whole_range_and_no_further() {
    let high = hectopascals(16_250.0);
    for end in [Temperature::LIQUID_WATER.min, Temperature::LIQUID_WATER.max] {
        assert!(liquid_viscosity(celsius(end), high).is_ok());
        assert!(liquid_enthalpy(celsius(end), high).is_ok());
    }
    for outside in [Temperature::LIQUID_WATER.min.next_down(), 202.1] {
        let refused = liquid_density(celsius(outside), high).unwrap_err();
        assert!(matches!(
            refused,
            MathsError::OutOfRange {
                quantity: "water temperature",
                ..
            }
        ));
        assert!(flash_fraction(celsius(outside), hectopascals(1_000.0)).is_err());
    }
}

#[test]
fn water_that_does_not_boil_has_no_gauge_pressure() {
    let refused = saturation_gauge(celsius(90.0), hectopascals(1_013.25)).unwrap_err();
    assert!(matches!(
        refused,
        MathsError::OutOfRange {
            quantity: "gauge pressure",
            ..
        }
    ));
}

#[test]
fn temperatures_that_boil_nowhere_are_refused() {
    for t in [20.0, 69.0, 102.0, 150.0] {
        let refused = boiling_altitude(celsius(t)).unwrap_err();
        assert!(matches!(
            refused,
            MathsError::OutOfRange {
                quantity: "geopotential altitude",
                ..
            }
        ));
    }
}
