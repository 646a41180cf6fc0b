//! Mass balances that must close for every brew.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::extraction::bypass::{
    bypass_for, diluted_strength, undiluted_strength,
};
use extraction_maths::maths::extraction::dry_basis::dry_basis;
use extraction_maths::maths::extraction::extracted::Extracted;
use extraction_maths::maths::extraction::immersion::{
    immersion, immersion_strength, immersion_water, immersion_with_bypass,
    immersion_with_bypass_in_cup,
};
use extraction_maths::maths::extraction::percolation::{
    beverage_for, dose_for, percolation, percolation_with_bypass,
};
use extraction_maths::maths::extraction::ratio_line::RatioLine;
use extraction_maths::maths::quantity::{Mass, MassFraction};
use proptest::prelude::*;

use crate::support::relative;

fn grams(value: f64) -> Mass {
    Mass::from_grams(value).expect("a mass")
}

fn part(value: f64) -> MassFraction {
    MassFraction::from_fraction(value).expect("a fraction")
}

/// A dose, and a yield, ratio and retained ratio that brew something.
fn brews() -> impl Strategy<Value = (f64, f64, f64, f64)> {
    (1.0..500.0_f64, 0.05..0.30_f64, 5.0..25.0_f64, 0.5..3.0_f64)
}

proptest! {
    #[test]
    fn immersion_yields_come_back((dose, e, ratio, _) in brews()) {
        let (dose, water) = (grams(dose), grams(ratio * dose));
        let strength = immersion_strength(dose, water, part(e)).unwrap();
        let found = immersion(dose, water, strength).unwrap();
        relative(found.extraction_yield.fraction(), e, 1e-12, "yield");
        let needed = immersion_water(dose, part(e), strength).unwrap();
        relative(needed.grams(), water.grams(), 1e-12, "water");
        // the solids are in the liquid of cup and grounds
        let liquid = water.grams() + found.solids.grams();
        relative(strength.fraction() * liquid, found.solids.grams(), 1e-12, "solids");
    }

    /// The percolation formula on an immersion cup counts what the grounds hold as not
    /// extracted, as drying the grounds does.
    #[test]
    fn percolation_on_an_immersion_cup_is_the_oven_dried_yield((dose, e, ratio, held) in brews()) {
        let strength = immersion_strength(grams(dose), grams(ratio * dose), part(e)).unwrap();
        let cup = grams(dose * (ratio + e - held));
        let found = percolation(grams(dose), cup, strength).unwrap();
        let oven_dried = e - held * strength.fraction();
        let error = (found.extraction_yield.fraction() - oven_dried).abs();
        prop_assert!(error < 1e-13, "{error}");
    }

    #[test]
    fn percolation_inverts((dose, e, ratio, _) in brews()) {
        let strength = part(e / ratio);
        let beverage = beverage_for(grams(dose), part(e), strength).unwrap();
        let found = percolation(grams(dose), beverage, strength).unwrap();
        relative(found.extraction_yield.fraction(), e, 1e-12, "yield");
        relative(dose_for(beverage, part(e), strength).unwrap().grams(), dose, 1e-12, "dose");
    }

    #[test]
    fn bypass_conserves_the_solids((dose, e, ratio, _) in brews(), added in 0.0..3.0_f64) {
        let (dose, brew) = (grams(dose), grams(ratio * dose));
        let (strength, water) = (part(e / ratio), grams(added * brew.grams()));
        let cup = diluted_strength(brew, water, strength).unwrap();
        let back = undiluted_strength(brew, water, cup).unwrap();
        relative(back.fraction(), strength.fraction(), 1e-13, "strength");
        let thinned = bypass_for(brew, strength, cup).unwrap().grams();
        prop_assert!((thinned - water.grams()).abs() < 1e-12 * (brew.grams() + water.grams()));
        let all = grams(brew.grams() + water.grams());
        let plain = percolation(dose, brew, strength).unwrap();
        for other in [
            percolation_with_bypass(dose, brew, water, cup).unwrap(),
            percolation(dose, all, cup).unwrap(),
        ] {
            relative(other.solids.grams(), plain.solids.grams(), 1e-12, "solids");
        }
    }

    #[test]
    fn diluting_an_immersion_cup_leaves_its_yield((dose, e, ratio, held) in brews(),
                                                  added in 0.0..3.0_f64) {
        let (dose, water) = (grams(dose), grams(ratio * dose));
        let strength = immersion_strength(dose, water, part(e)).unwrap();
        let poured = grams(dose.grams() * (ratio + e - held));
        let bypass = grams(added * poured.grams());
        let cup = diluted_strength(poured, bypass, strength).unwrap();
        let all = grams(poured.grams() + bypass.grams());
        for found in [
            immersion_with_bypass(dose, water, poured, bypass, cup).unwrap(),
            immersion_with_bypass_in_cup(dose, water, all, bypass, cup).unwrap(),
        ] {
            relative(found.extraction_yield.fraction(), e, 1e-12, "yield");
        }
    }

    #[test]
    fn yields_do_not_depend_on_the_size_of_the_batch((dose, e, ratio, held) in brews(),
                                                     scale in 0.2..5.0_f64) {
        let strength = part(e / ratio);
        let (d, w, p, v) = (dose, ratio * dose, (ratio - held) * dose, 0.3 * dose);
        let of = |k: f64| -> [Extracted; 3] {
            let [d, w, p, v] = [d, w, p, v].map(|m| grams(k * m));
            [
                percolation(d, w, strength).unwrap(),
                immersion(d, w, strength).unwrap(),
                immersion_with_bypass(d, w, p, v, part(0.8 * strength.fraction())).unwrap(),
            ]
        };
        for (one, other) in of(1.0).into_iter().zip(of(scale)) {
            let (a, b) = (one.extraction_yield.fraction(), other.extraction_yield.fraction());
            relative(a, b, 1e-12, "yield");
        }
    }

    #[test]
    fn a_stronger_cup_means_a_higher_yield((dose, e, ratio, held) in brews()) {
        let [d, w, v] = [dose, ratio * dose, 0.3 * dose].map(grams);
        let p = grams((ratio - held) * dose);
        for form in [
            |d, w, _, _, t| percolation(d, w, t),
            |d, w, _, _, t| immersion(d, w, t),
            immersion_with_bypass as fn(_, _, _, _, _) -> _,
        ] {
            let of = |t: f64| form(d, w, p, v, part(t)).unwrap().extraction_yield;
            prop_assert!(of(0.7 * e / ratio) < of(0.7 * e / ratio * 1.001));
        }
    }

    /// Analytic derivatives against central differences.
    #[test]
    fn sensitivities_are_the_slopes((dose, e, ratio, held) in brews()) {
        let t = 0.6 * e / ratio;
        let x = [dose, (ratio - held) * dose, ratio * dose, 0.4 * dose, t];
        let cup = [dose, (ratio - held + 0.4) * dose, ratio * dose, 0.4 * dose, t];
        slopes(x, |x| percolation_with_bypass(grams(x[0]), grams(x[1]), grams(x[3]), part(x[4])));
        slopes(x, |x| percolation(grams(x[0]), grams(x[1]), part(x[4])));
        slopes(x, |x| immersion(grams(x[0]), grams(x[2]), part(x[4])));
        slopes(x, |[d, p, w, v, t]| {
            immersion_with_bypass(grams(d), grams(w), grams(p), grams(v), part(t))
        });
        slopes(cup, |[d, f, w, v, t]| {
            immersion_with_bypass_in_cup(grams(d), grams(w), grams(f), grams(v), part(t))
        });
    }

    #[test]
    fn dry_basis_slopes_and_order(e in 0.05..0.3_f64, m in 0.0..0.15_f64, c in 0.0..0.14_f64) {
        let of = |e, m, c| dry_basis(part(e), part(m), part(c)).unwrap();
        let at = of(e, m, c);
        prop_assert!(at.extraction_yield.fraction() >= e);
        let h = 1e-6;
        let by_c = (of(e, m, c + h).extraction_yield.fraction()
            - at.extraction_yield.fraction()) / h;
        relative(at.by_volatile, by_c, 1e-5, "slope by carbon dioxide");
        let by_e = (of(e + h, m, c).extraction_yield.fraction()
            - at.extraction_yield.fraction()) / h;
        relative(at.by_yield, by_e, 1e-8, "slope by yield");
    }

    #[test]
    fn ratio_lines_round_trip((_, e, ratio, held) in brews()) {
        for line in [RatioLine::AsWeighed, RatioLine::PureWaterRetained] {
            let strength = line.strength(part(e), ratio, held).unwrap();
            let back = line.extraction_yield(strength, ratio, held).unwrap();
            relative(back.fraction(), e, 1e-12, "yield");
            relative(line.water_ratio(part(e), strength, held).unwrap(), ratio, 1e-12, "ratio");
        }
    }
}

/// Compares the derivatives by dose, beverage, water, bypass and strength with differences.
fn slopes(x: [f64; 5], form: impl Fn([f64; 5]) -> Result<Extracted, MathsError>) {
    let at = form(x).expect("a yield");
    let s = at.sensitivities;
    for (k, analytic) in [s.dose, s.beverage, s.water, s.bypass, s.strength]
        .into_iter()
        .enumerate()
    {
        let step = 1e-5 * x[k];
        let [low, high] = [-step, step].map(|step| {
            let mut moved = x;
            moved[k] += step;
            form(moved).expect("a yield").extraction_yield.fraction()
        });
        // in units of the yield's change over the whole input
        let difference = (high - low) / (2.0 * step) * x[k];
        let error = (difference - analytic * x[k]).abs();
        assert!(
            error < 1e-8 * at.extraction_yield.fraction(),
            "input {k}: {error}"
        );
    }
}

#[test]
fn cups_that_cannot_be_are_refused() {
    let brew = |poured, bypass| {
        immersion_with_bypass(
            grams(20.0),
            grams(200.0),
            grams(poured),
            grams(bypass),
            part(0.015),
        )
    };
    assert!(brew(160.0, 40.0).is_ok());
    assert!(matches!(
        brew(210.0, 40.0),
        Err(MathsError::Inconsistent { .. })
    ));
    let cup = immersion_with_bypass_in_cup(
        grams(20.0),
        grams(200.0),
        grams(100.0),
        grams(100.0),
        part(0.015),
    );
    assert!(matches!(cup, Err(MathsError::Inconsistent { .. })));
    // thinned so far that the brew would have been pure solids
    assert!(brew(1.0, 1000.0).is_err());
    assert!(matches!(
        bypass_for(grams(100.0), part(0.01), part(0.02)),
        Err(MathsError::NoSolution { .. })
    ));
    assert!(bypass_for(grams(100.0), part(0.01), part(0.0)).is_err());
}

#[test]
fn ends_of_the_ranges_are_accepted_and_beyond_is_refused() {
    for (dose, fits) in [
        (0.1, true),
        (5000.0, true),
        (0.0999, false),
        (5000.1, false),
    ] {
        let found = percolation(grams(dose), grams(0.1), part(0.01));
        assert_eq!(found.is_ok(), fits, "dose {dose}");
        assert_eq!(
            immersion(grams(dose), grams(0.1), part(0.01)).is_ok(),
            fits,
            "dose {dose}"
        );
    }
    let nothing = percolation(grams(20.0), grams(40.0), part(0.0)).expect("no strength");
    assert!(nothing.extraction_yield.fraction().abs() < f64::MIN_POSITIVE);
    assert!(dry_basis(part(0.2), part(0.15), part(0.15)).is_ok());
    assert!(dry_basis(part(0.2), part(0.151), part(0.0)).is_err());
    assert!(dry_basis(part(0.2), part(0.0), part(0.151)).is_err());
    assert!(RatioLine::AsWeighed.strength(part(0.2), 2.0, 2.0).is_err());
    assert!(
        RatioLine::PureWaterRetained
            .extraction_yield(part(1.0), 16.0, 2.0)
            .is_err()
    );
    assert!(
        RatioLine::AsWeighed
            .water_ratio(part(0.2), part(0.0), 2.0)
            .is_err()
    );
    for bad in [f64::NAN, f64::INFINITY] {
        assert!(RatioLine::AsWeighed.strength(part(0.2), bad, 2.0).is_err());
    }
}
