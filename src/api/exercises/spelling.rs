//! Units as students write them, and the other units that a quantity is usually given in.

/// Spellings of a unit, in small letters, and the unit.
const SPELLINGS: &[(&str, &str)] = &[
    ("gram", "g"),
    ("grams", "g"),
    ("gr", "g"),
    ("kilogram", "kg"),
    ("c", "°C"),
    ("degc", "°C"),
    ("celsius", "°C"),
    ("cel", "°C"),
    ("f", "°F"),
    ("degf", "°F"),
    ("fahrenheit", "°F"),
    ("kelvin", "K"),
    ("percent", "%"),
    ("pct", "%"),
    ("points", "percentage points"),
    ("pp", "percentage points"),
    ("", "1"),
    ("-", "1"),
    ("none", "1"),
    ("fraction", "1"),
    ("ratio", "1"),
    ("sec", "s"),
    ("seconds", "s"),
    ("minutes", "min"),
    ("day", "d"),
    ("days", "d"),
    ("mbar", "hPa"),
    ("litre", "L"),
    ("liter", "L"),
    ("mg/l", "mg/L"),
    ("ppm", "mg/L"),
    ("g/g", "1"),
    ("j/g", "kJ/kg"),
    ("€", "EUR"),
    ("euro", "EUR"),
    ("mm^2", "mm²"),
    ("mg/l caco3", "mg/L as CaCO3"),
    ("ppm caco3", "mg/L as CaCO3"),
    ("mm2", "mm²"),
    ("cm2", "cm²"),
];

/// A unit of ours, its UCUM code, and other units for the same with theirs.
type Others = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
);

const OTHERS: &[Others] = &[
    ("g", "g", &[("kg", "kg"), ("mg", "mg"), ("oz", "[oz_av]")]),
    ("°C", "Cel", &[("°F", "[degF]"), ("K", "K")]),
    ("°F", "[degF]", &[("°C", "Cel"), ("K", "K")]),
    (
        "hPa",
        "hPa",
        &[
            ("Pa", "Pa"),
            ("kPa", "kPa"),
            ("bar", "bar"),
            ("psi", "[psi]"),
        ],
    ),
    (
        "bar",
        "bar",
        &[
            ("Pa", "Pa"),
            ("kPa", "kPa"),
            ("hPa", "hPa"),
            ("psi", "[psi]"),
        ],
    ),
    ("mL", "mL", &[("L", "L"), ("fl oz", "[foz_us]")]),
    ("L", "L", &[("mL", "mL")]),
    ("s", "s", &[("min", "min"), ("h", "h")]),
    ("kJ", "kJ", &[("J", "J")]),
    ("m", "m", &[("ft", "[ft_i]")]),
    ("mm", "mm", &[("cm", "cm")]),
    ("mm²", "mm2", &[("cm²", "cm2")]),
];

/// The unit that a student's spelling means, in our spelling where it is known.
pub(super) fn unit_meant(spelling: &str) -> String {
    let plain = spelling.trim().to_owned();
    let small = plain.to_lowercase();
    let named = SPELLINGS.iter().find(|(known, _)| *known == small);
    let ours = || {
        let units = OTHERS.iter().flat_map(|(unit, _, others)| {
            std::iter::once(*unit).chain(others.iter().map(|(other, _)| *other))
        });
        let mut all = units.filter(|unit| unit.to_lowercase() == small);
        all.next().map(str::to_owned)
    };
    named
        .map(|(_, unit)| (*unit).to_owned())
        .or_else(ours)
        .unwrap_or(plain)
}

/// The UCUM code of a unit, and the other units for the same quantity with theirs.
pub(super) fn others(
    unit: &str,
) -> Option<(&'static str, &'static [(&'static str, &'static str)])> {
    let found = OTHERS.iter().find(|(known, _, _)| *known == unit);
    found.map(|(_, code, others)| (*code, *others))
}

#[cfg(test)]
mod tests {
    use super::{OTHERS, unit_meant};
    use crate::maths::units::table::unit;

    #[test]
    fn a_unit_is_known_however_it_is_written() {
        for (written, expected) in [
            ("g", "g"),
            (" Grams ", "g"),
            ("°c", "°C"),
            ("degC", "°C"),
            ("", "1"),
            ("ML", "mL"),
            ("percent", "%"),
            ("furlong", "furlong"),
            ("ppm", "mg/L"),
            ("J/g", "kJ/kg"),
            ("Cel", "°C"),
            ("kj/kg", "kj/kg"),
        ] {
            assert_eq!(unit_meant(written), expected, "{written:?}");
        }
    }

    #[test]
    fn every_code_is_in_the_table_of_units() {
        for (name, code, others) in OTHERS {
            for (name, code) in std::iter::once((*name, *code)).chain(others.iter().copied()) {
                assert!(unit(code).is_some(), "{name}: {code}");
            }
        }
    }
}
