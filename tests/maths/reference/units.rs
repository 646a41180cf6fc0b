//! Units against their definitions, a guide, and another library: [ucum2024], see
//! docs/REFERENCES.md.

use extraction_maths::maths::constants::{
    GRAIN_MG, IMPERIAL_GALLON_L, STANDARD_SEA_LEVEL_PASCALS, US_GALLON_L,
};
use extraction_maths::maths::units::conversion::{Reading, conversion, converted};
use extraction_maths::maths::units::table::{Dimension, UNITS, Unit, unit};

use crate::support::{published, relative};

/// A product, a sum and a quotient of doubles.
const FEW_ROUNDINGS: f64 = 1e-15;

fn named(code: &str) -> &'static Unit {
    unit(code).unwrap_or_else(|| panic!("no {code}"))
}

fn point(value: f64, from: &Unit, to: &Unit) -> f64 {
    let by = conversion(from, to, Reading::Point).expect("one dimension");
    converted(value, &by).expect("a value")
}

fn difference(value: f64, from: &str, to: &str) -> f64 {
    let by = conversion(named(from), named(to), Reading::Difference).expect("one dimension");
    converted(value, &by).expect("a value")
}

/// octofhir-ucum reads the official table by itself and counts in decimals.
#[test]
fn every_pair_of_units_agrees_with_another_library() {
    for from in UNITS {
        for to in UNITS.iter().filter(|to| to.dimension == from.dimension) {
            for value in [1.0, 93.7, 1234.5] {
                let expected = octofhir_ucum::convert(value, from.code, to.code)
                    .unwrap_or_else(|e| panic!("{} to {}: {e}", from.code, to.code));
                let what = format!("{value} {} in {}", from.code, to.code);
                let computed = point(value, from, to);
                // near the zero of a scale of temperature digits cancel
                let cancelled = if from.dimension == Dimension::Temperature {
                    1e-12
                } else {
                    FEW_ROUNDINGS * expected.abs()
                };
                assert!(
                    (computed - expected).abs() <= cancelled,
                    "{what}: {computed} {expected}"
                );
            }
        }
    }
}

#[test]
fn units_that_measure_different_things_do_not_convert() {
    for from in UNITS {
        for to in UNITS.iter().filter(|to| to.dimension != from.dimension) {
            assert!(conversion(from, to, Reading::Point).is_err());
        }
        let base = named(from.dimension.base_unit());
        assert_eq!(base.dimension, from.dimension);
        assert_eq!(base.scale.to_string(), "1", "{}", base.code);
    }
}

/// NIST Special Publication 811, appendix B, from memory
#[test]
fn factors_are_those_of_a_guide() {
    for (from, to, printed) in [
        ("[lb_av]", "kg", "0.45359237"),
        ("[oz_av]", "g", "28.34952"),
        ("[gr]", "mg", "64.79891"),
        ("[in_i]", "mm", "25.4"),
        ("[ft_i]", "m", "0.3048"),
        ("[gal_us]", "L", "3.785412"),
        ("[foz_us]", "mL", "29.57353"),
        ("[gal_br]", "L", "4.54609"),
        ("[foz_br]", "mL", "28.41306"),
        ("[lbf_av]", "N", "4.448222"),
        ("[psi]", "Pa", "6894.757"),
        ("atm", "Pa", "101325"),
        ("att", "Pa", "98066.5"),
        ("cal", "J", "4.184"),
        ("[Btu_IT]", "J", "1055.056"),
        ("[HP]", "W", "745.6999"),
        ("kW.h", "MJ", "3.6"),
    ] {
        published(difference(1.0, from, to), printed, to);
    }
}

#[test]
fn factors_agree_with_the_constants_used_elsewhere() {
    for (from, to, constant) in [
        ("[gr]", "mg", GRAIN_MG),
        ("[gal_us]", "L", US_GALLON_L),
        ("[gal_br]", "L", IMPERIAL_GALLON_L),
        ("atm", "Pa", STANDARD_SEA_LEVEL_PASCALS),
    ] {
        relative(difference(1.0, from, to), constant, FEW_ROUNDINGS, from);
    }
}

/// Definition of the scales: ice at 32 °F, boiling water at 212 °F, both scales meet at -40
#[test]
fn scales_of_temperature_meet_where_they_are_defined_to() {
    let (celsius, fahrenheit) = (named("Cel"), named("[degF]"));
    for (c, f) in [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)] {
        assert_eq!(point(c, celsius, fahrenheit).to_bits(), f64::to_bits(f));
        assert_eq!(point(f, fahrenheit, celsius).to_bits(), f64::to_bits(c));
    }
    published(point(-459.67, fahrenheit, named("K")), "0.00000000", "K");
    published(difference(10.0, "Cel", "[degF]"), "18.0000000000", "[degF]");
    published(difference(18.0, "[degF]", "K"), "10.0000000000", "K");
}
