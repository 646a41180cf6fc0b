//! Waters of every kind: neutrality, round trips, and the conditions of least squares.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::chemistry::blend::{Aimed, mixed, nearest_fraction};
use extraction_maths::maths::chemistry::equilibrium::carbonate_constants;
use extraction_maths::maths::chemistry::four_factor::{OFFERED, four_factor_saturation_ph};
use extraction_maths::maths::chemistry::hardness::HardnessUnit;
use extraction_maths::maths::chemistry::ions::{Ion, Ions, ion_balance};
use extraction_maths::maths::chemistry::salts::{Hydrate, Salt, dissolved};
use extraction_maths::maths::chemistry::saturation::saturation_ph;
use extraction_maths::maths::chemistry::scale::scale_bound;
use extraction_maths::maths::numeric::least_squares::non_negative;
use extraction_maths::maths::quantity::{Concentration, Hardness, IonicStrength, Temperature};
use proptest::prelude::*;

use crate::support::relative;

fn mg(value: f64) -> Concentration {
    Concentration::from_milligrams_per_litre(value).expect("a concentration")
}

fn hard(value: f64) -> Hardness {
    Hardness::from_milligrams_per_litre(value).expect("a hardness")
}

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).expect("a temperature")
}

fn distance(columns: &[Vec<f64>], x: &[f64], b: &[f64]) -> f64 {
    let rows = b.iter().enumerate();
    rows.map(|(i, b)| {
        let sum: f64 = columns.iter().zip(x).map(|(c, x)| c[i] * x).sum();
        (b - sum) * (b - sum)
    })
    .sum()
}

/// The second route: the least squares of every set of columns by coordinate descent.
fn by_descent(columns: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let mut x = vec![0.0; columns.len()];
    for _ in 0..20_000 {
        for j in 0..columns.len() {
            let square: f64 = columns[j].iter().map(|c| c * c).sum();
            let rows = b.iter().enumerate();
            let slope: f64 = rows
                .map(|(i, b)| {
                    let sum: f64 = columns.iter().zip(&x).map(|(c, x)| c[i] * x).sum();
                    columns[j][i] * (b - sum)
                })
                .sum();
            x[j] = (x[j] + slope / square).max(0.0);
        }
    }
    x
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn doses_are_as_near_as_any_others(
        entries in prop::collection::vec(0.0..2.0_f64, 20),
        b in prop::collection::vec(-1.0..3.0_f64, 5),
    ) {
        let columns: Vec<Vec<f64>> = entries.chunks(5).map(|c| c.iter().map(|x| x + 0.01).collect()).collect();
        let x = non_negative(&columns, &b).unwrap();
        prop_assert!(x.iter().all(|x| *x >= 0.0));
        // first-order conditions: no gain by raising any, none by lowering a free one
        let scale: f64 = b.iter().map(|b| b.abs()).sum::<f64>() * 10.0;
        for (j, column) in columns.iter().enumerate() {
            let rows = b.iter().enumerate();
            let slope: f64 = rows
                .map(|(i, b)| {
                    let sum: f64 = columns.iter().zip(&x).map(|(c, x)| c[i] * x).sum();
                    column[i] * (b - sum)
                })
                .sum();
            prop_assert!(slope <= 1e-9 * scale, "raising {j} gains {slope}");
            prop_assert!(x[j] == 0.0 || slope.abs() <= 1e-8 * scale, "{j}: {slope}");
        }
        let (own, other) = (distance(&columns, &x, &b), distance(&columns, &by_descent(&columns, &b), &b));
        prop_assert!(own <= other + 1e-9, "{own} against {other}");
    }

    #[test]
    fn dependent_columns_do_no_harm(b in prop::collection::vec(0.0..3.0_f64, 2)) {
        let columns = vec![vec![1.0, 0.0], vec![2.0, 0.0], vec![0.0, 1.0], vec![1.0, 1.0]];
        let x = non_negative(&columns, &b).unwrap();
        prop_assert!(distance(&columns, &x, &b) < 1e-18, "{x:?}");
    }

    #[test]
    fn every_salt_is_neutral(dose in 1.0..500.0_f64) {
        for salt in Salt::ALL {
            for waters in salt.hydrates() {
                let hydrate = Hydrate::new(salt, *waters).unwrap();
                let ions = dissolved(hydrate, mg(dose)).unwrap();
                prop_assert!(ion_balance(&ions).unwrap().percent.abs() < 1e-12);
                let water = f64::from(*waters) * 18.015 / hydrate.molar_mass();
                relative(ions.sum_mg_per_l() + water * dose, dose, 1e-12, "mass");
            }
        }
    }

    #[test]
    fn units_of_hardness_turn_back(value in 0.001..2000.0_f64) {
        for unit in HardnessUnit::ALL {
            let hardness = Hardness::from_unit(value, unit).unwrap();
            relative(hardness.in_unit(unit), value, 1e-15, "hardness");
        }
    }

    #[test]
    fn warmer_or_harder_water_saturates_at_a_lower_ph(
        t in 0.0..149.0_f64, i in 0.0005..0.05_f64, calcium in 1.0..500.0_f64, bicarbonate in 1.0..500.0_f64,
    ) {
        let strength = IonicStrength::from_moles_per_litre(i).unwrap();
        let at = |t, c, b| saturation_ph(celsius(t), strength, mg(c), mg(b)).unwrap();
        let base = at(t, calcium, bicarbonate);
        prop_assert!(at(t + 1.0, calcium, bicarbonate) < base);
        // ten times the calcium is one unit of pH
        relative(base - at(t, 10.0 * calcium, bicarbonate), 1.0, 1e-12, "decade of calcium");
        relative(base - at(t, calcium, 10.0 * bicarbonate), 1.0, 1e-12, "decade of bicarbonate");
    }

    #[test]
    fn a_blend_for_one_target_meets_it_where_it_lies_between(a in 0.0..400.0_f64, b in 0.0..400.0_f64, t in 0.0..400.0_f64) {
        prop_assume!((a - b).abs() > 1.0);
        let f = nearest_fraction(&[Aimed { first: a, second: b, target: t }]).unwrap();
        let reached = mixed(a, b, f).unwrap();
        let expected = t.clamp(a.min(b), a.max(b));
        prop_assert!((reached - expected).abs() < 1e-9, "{reached} for {t}");
    }
}

#[test]
fn waters_that_do_not_differ_cannot_be_blended_to_a_target() {
    let alike = Aimed {
        first: 3.0,
        second: 3.0,
        target: 2.0,
    };
    let error = nearest_fraction(&[alike]).unwrap_err();
    assert!(matches!(error, MathsError::NoSolution { .. }), "{error}");
    assert!(mixed(1.0, 2.0, 1.5).is_err());
    assert!(mixed(1.0, 2.0, f64::NAN).is_err());
}

#[test]
fn ends_of_ranges_are_accepted_and_just_outside_is_refused() {
    for t in [0.0, 150.0] {
        assert!(carbonate_constants(celsius(t)).is_ok());
    }
    for t in [-0.001, 150.001] {
        assert!(carbonate_constants(celsius(t)).is_err());
    }
    let indicator = |t| four_factor_saturation_ph(celsius(t), mg(300.0), hard(100.0), hard(50.0));
    assert!(indicator(OFFERED.max).is_ok());
    assert!(indicator(OFFERED.max + 0.001).is_err());
    let strength = IonicStrength::from_moles_per_litre(0.01).unwrap();
    assert!(saturation_ph(celsius(25.0), strength, mg(0.0), mg(100.0)).is_err());
    assert!(scale_bound(hard(1.0), hard(1.0), 0.999).is_err());
    assert!(ion_balance(&Ions::default()).is_err());
    assert!(Concentration::from_milligrams_per_litre(f64::INFINITY).is_err());
    let too_many = vec![vec![1.0]; 17];
    assert!(matches!(
        non_negative(&too_many, &[1.0]),
        Err(MathsError::WorkLimit { .. })
    ));
    let neutral = Ions::default().with(Ion::Sodium, mg(0.0));
    assert!(ion_balance(&neutral).is_err());
}
