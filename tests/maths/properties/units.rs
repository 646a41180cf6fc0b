//! Units for every value.

use extraction_maths::maths::units::conversion::{Reading, VALUE, conversion, converted, smallest};
use extraction_maths::maths::units::table::{UNITS, unit};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn there_and_back_is_where_it_began(value in -1e3..1e3_f64) {
        for from in UNITS {
            for to in UNITS.iter().filter(|to| to.dimension == from.dimension) {
                for reading in [Reading::Point, Reading::Difference] {
                    let there = conversion(from, to, reading).unwrap();
                    let there = converted(value, &there).unwrap();
                    let back = conversion(to, from, reading).unwrap();
                    let back = converted(there, &back).unwrap();
                    // a zero far away costs digits
                    let is_shifted = !from.offset.is_zero() || !to.offset.is_zero();
                    let allowed = if is_shifted { 1e-12 } else { 2e-15 * value.abs() };
                    prop_assert!((back - value).abs() <= allowed, "{} {}", from.code, to.code);
                }
            }
        }
    }
}

#[test]
fn a_unit_is_itself_bit_for_bit() {
    for unit in UNITS {
        let by = conversion(unit, unit, Reading::Point).expect("one unit");
        for value in [0.1, -0.0, 1.0 / 3.0, 123_456.789, VALUE.max] {
            let same = converted(value, &by).expect("a value");
            assert_eq!(same.to_bits(), value.to_bits(), "{}", unit.code);
        }
        assert!(converted(VALUE.max.next_up(), &by).is_err());
        assert!(converted(f64::NAN, &by).is_err());
    }
}

#[test]
fn codes_are_unique_even_without_their_capitals_and_signs() {
    // generated clients turn codes into names
    let plain = |code: &str| -> String {
        let kept = code
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '_' });
        kept.collect::<String>()
            .trim_matches('_')
            .to_ascii_uppercase()
    };
    let mut names: Vec<_> = UNITS.iter().map(|unit| plain(unit.code)).collect();
    names.sort();
    let count = names.len();
    names.dedup();
    assert_eq!(names.len(), count);
}

#[test]
fn absolute_zero_is_the_same_on_every_scale() {
    for (code, zero) in [
        ("K", 0.0),
        ("[degR]", 0.0),
        ("Cel", -273.15),
        ("[degF]", -459.67),
    ] {
        let least = smallest(unit(code).expect("a unit"));
        assert!((least - zero).abs() < 1e-12, "{code}");
    }
}
