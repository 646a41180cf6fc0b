//! Inputs at both ends of their ranges and outside them.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::quantity::{GaugePressure, Mass, Temperature};
use extraction_maths::maths::simulation::{Outcome, PressureProfile, Resolution, Shot, run_bed};

use super::cases::{STANDARD, bed, ordinary, profile};
use super::pathologies::{answered, standard};

#[test]
fn resolutions_are_accepted_at_both_ends_and_refused_outside() {
    let shot = Shot {
        duration_s: 3.0,
        ..ordinary(&[(0.0, 9.0)])
    };
    let bed = bed(&shot);
    let run = |(cells, modes, step_s)| {
        let resolution = Resolution {
            cells,
            modes,
            step_s,
        };
        run_bed(&bed, &shot, resolution, &|| false)
    };
    for good in [
        (4, 2, 2.0),
        (800, 12, 0.005),
        (5, 3, 1.0),
        (60, 7, 0.25),
        STANDARD,
    ] {
        assert!(run(good).is_ok(), "{good:?}");
    }
    for bad in [
        (3, 5, 0.25),
        (801, 5, 0.25),
        (60, 1, 0.25),
        (60, 13, 0.25),
        (60, 5, 2.1),
    ] {
        assert!(
            matches!(run(bad), Err(MathsError::OutOfRange { .. })),
            "{bad:?}"
        );
    }
    assert!(matches!(
        run((60, 5, f64::NAN)),
        Err(MathsError::NonFinite { .. })
    ));
}

#[test]
fn shots_at_both_ends_of_every_range_are_answered() {
    for grind_diameter_um in [200.0, 600.0] {
        for celsius in [60.0, 100.0] {
            for bar in [0.0, 15.0] {
                let shot = Shot {
                    grind_diameter_um,
                    water_temperature: Temperature::from_celsius(celsius).expect("water"),
                    ..ordinary(&[(0.0, bar)])
                };
                answered(&shot);
            }
        }
    }
}

/// A good shot with one thing changed.
fn changed(change: fn(&mut Shot)) -> Result<Outcome, MathsError> {
    let mut shot = ordinary(&[(0.0, 9.0)]);
    change(&mut shot);
    standard(&shot)
}

fn grams(value: f64) -> Mass {
    Mass::from_grams(value).expect("a mass")
}

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).expect("a temperature")
}

#[test]
fn inputs_outside_their_ranges_are_refused() {
    let changes: [fn(&mut Shot); 10] = [
        |shot| shot.grind_diameter_um = 199.9,
        |shot| shot.grind_diameter_um = 600.1,
        |shot| shot.dose = grams(2.9),
        |shot| shot.dose = grams(60.1),
        |shot| shot.water_temperature = celsius(59.9),
        |shot| shot.water_temperature = celsius(100.1),
        |shot| shot.duration_s = 600.1,
        |shot| shot.sample_times_s = vec![120.1],
        |shot| shot.target_beverage = grams(0.0),
        |shot| shot.sample_times_s = vec![1.0; 2001],
    ];
    for change in changes {
        let refused = changed(change);
        assert!(
            matches!(refused, Err(MathsError::OutOfRange { .. })),
            "{refused:?}"
        );
    }
}

#[test]
fn inputs_that_are_no_numbers_or_out_of_order_are_refused() {
    let changes: [fn(&mut Shot); 3] = [
        |shot| shot.grind_diameter_um = f64::NAN,
        |shot| shot.duration_s = f64::INFINITY,
        |shot| shot.sample_times_s = vec![f64::NAN],
    ];
    for change in changes {
        let refused = changed(change);
        assert!(
            matches!(refused, Err(MathsError::NonFinite { .. })),
            "{refused:?}"
        );
    }
    let standing = changed(|shot| shot.sample_times_s = vec![5.0, 5.0]);
    assert!(matches!(standing, Err(MathsError::Inconsistent { .. })));
}

#[test]
fn profiles_that_make_no_sense_are_refused() {
    let bar = GaugePressure::from_bar(9.0).expect("a pressure");
    assert!(matches!(
        PressureProfile::new(&[]),
        Err(MathsError::OutOfRange { .. })
    ));
    let standing = PressureProfile::new(&[(1.0, bar), (1.0, bar)]);
    assert!(matches!(standing, Err(MathsError::Inconsistent { .. })));
    let early = PressureProfile::new(&[(-1.0, bar)]);
    assert!(matches!(early, Err(MathsError::OutOfRange { .. })));
    let nan = PressureProfile::new(&[(f64::NAN, bar)]);
    assert!(matches!(nan, Err(MathsError::NonFinite { .. })));
    assert_eq!(PressureProfile::constant(bar), profile(&[(0.0, 9.0)]));
}
