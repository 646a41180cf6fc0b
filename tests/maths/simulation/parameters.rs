//! The table of parameters: the defaults, names and ranges.

use std::collections::BTreeMap;

use extraction_maths::maths::MathsError;
use extraction_maths::maths::simulation::{Parameter, Parameters, Shot};

use super::cases::{bed, ordinary};

/// `tests/data/simulation_defaults.json`: what the independent program used.
#[test]
fn defaults_are_those_of_the_independent_program() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/simulation_defaults.json"
    );
    let text = std::fs::read_to_string(path).expect("the defaults");
    let all: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let given: BTreeMap<String, Option<f64>> =
        serde_json::from_value(all["params"].clone()).expect("numbers by name");
    assert_eq!(given.len(), Parameter::ALL.len());
    for (symbol, value) in given {
        let parameter = Parameter::by_symbol(&symbol).expect("a known symbol");
        assert_eq!(parameter.info().default, value, "{symbol}");
        assert_eq!(Parameters::default().given(parameter), value, "{symbol}");
    }
}

#[test]
fn defaults_lie_inside_their_ranges_and_symbols_find_their_parameter() {
    for info in Parameter::ALL {
        assert!(
            info.default.is_none_or(|value| info.range.contains(value)),
            "{}",
            info.symbol
        );
        assert_eq!(Parameter::by_symbol(info.symbol), Some(info.parameter));
        assert_eq!(info.parameter.info(), info);
        assert!(!info.source.is_empty());
    }
    assert_eq!(Parameter::by_symbol("d_s"), None);
}

#[test]
fn a_parameter_accepts_both_ends_and_refuses_what_lies_outside() {
    for info in Parameter::ALL {
        let mut parameters = Parameters::default();
        for end in [info.range.min, info.range.max] {
            parameters
                .set(info.parameter, end)
                .expect("an end of the range");
            assert_eq!(parameters.given(info.parameter), Some(end));
        }
        let before = parameters.clone();
        let below = info.range.min - info.range.min.abs().max(1e-6) * 1e-6;
        for outside in [info.range.max * 1.000_001, below] {
            let refused = parameters.set(info.parameter, outside);
            assert!(
                matches!(refused, Err(MathsError::OutOfRange { .. })),
                "{}",
                info.symbol
            );
        }
        for not_finite in [f64::NAN, f64::INFINITY] {
            let refused = parameters.set(info.parameter, not_finite);
            assert!(
                matches!(refused, Err(MathsError::NonFinite { .. })),
                "{}",
                info.symbol
            );
        }
        assert_eq!(parameters, before);
    }
}

/// Hand arithmetic: 0.25 (350/175)^3 = 2, above the cap of nine tenths.
#[test]
fn the_share_of_the_fines_stops_at_nine_tenths_unless_it_is_given() {
    let shot = Shot {
        grind_diameter_um: 200.0,
        ..ordinary(&[(0.0, 9.0)])
    };
    let mut parameters = Parameters::default();
    parameters
        .set(Parameter::FinesShareExponent, 3.0)
        .expect("in range");
    let share = |parameters: &Parameters| {
        extraction_maths::maths::simulation::Bed::new(&shot, parameters)
            .expect("a bed")
            .fines_share
    };
    assert!((share(&parameters) - 0.9).abs() < 1e-15);
    parameters
        .set(Parameter::FinesShare, 0.35)
        .expect("in range");
    assert!((share(&parameters) - 0.35).abs() < 1e-15);
    assert!((bed(&ordinary(&[(0.0, 9.0)])).fines_share - 0.25).abs() < 1e-15);
}

#[test]
fn parameters_that_close_or_empty_the_bed_together_are_refused() {
    let shot = ordinary(&[(0.0, 9.0)]);
    let closed = [(Parameter::Opening, 2.0), (Parameter::Porosity, 0.05)];
    // 0.5 + 2 x 0.45 x 700/1400 = 0.95: hardly any bed left.
    let empty = [
        (Parameter::Opening, 2.0),
        (Parameter::Porosity, 0.5),
        (Parameter::ExtractableFraction, 0.45),
        (Parameter::BedDensity, 700.0),
    ];
    for changes in [&closed[..], &empty[..]] {
        let mut parameters = Parameters::default();
        for (parameter, value) in changes {
            parameters
                .set(*parameter, *value)
                .expect("in range by itself");
        }
        let refused = extraction_maths::maths::simulation::Bed::new(&shot, &parameters);
        assert!(
            matches!(refused, Err(MathsError::Inconsistent { .. })),
            "{changes:?}"
        );
    }
}
