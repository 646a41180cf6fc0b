//! Targets and yields are inverses of each other.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::extraction::immersion::immersion_with_bypass;
use extraction_maths::maths::extraction::percolation::percolation_with_bypass;
use extraction_maths::maths::extraction::targets::{Given, Targets, Way, portions};
use extraction_maths::maths::quantity::{Mass, MassFraction};
use proptest::prelude::*;

use crate::support::relative;

fn grams(value: f64) -> Mass {
    Mass::from_grams(value).expect("a mass")
}

fn part(value: f64) -> MassFraction {
    MassFraction::from_fraction(value).expect("a fraction")
}

fn targets(way: Way, cup: f64, growth: f64, extracted: f64) -> Targets {
    Targets {
        way,
        cup_strength: part(cup),
        extraction_yield: part(extracted),
        brew_strength: part(cup * growth),
        retained_ratio: 1.5,
    }
}

proptest! {
    #[test]
    fn a_percolation_brew_made_to_order_has_its_yield(
        cup in 0.005..0.12_f64, growth in 1.0..2.0_f64, e in 0.1..0.3_f64, mass in 5.0..900.0_f64,
        begin in 0..3_usize,
    ) {
        let given = [Given::Dose, Given::Beverage, Given::Cup][begin](grams(mass));
        let brew = portions(&targets(Way::Percolation, cup, growth, e), given).unwrap();
        let found = percolation_with_bypass(
            grams(brew.dose_g), grams(brew.beverage_g), grams(brew.bypass_g), part(cup));
        relative(found.unwrap().extraction_yield.fraction(), e, 1e-12, "yield");
        relative(brew.water_g, brew.beverage_g + 1.5 * brew.dose_g, 1e-12, "water");
        let same = [brew.dose_g, brew.beverage_g, brew.cup_g][begin];
        prop_assert!(same.to_bits() == mass.to_bits(), "bit for bit");
    }

    #[test]
    fn an_immersion_brew_made_to_order_has_its_yield(
        cup in 0.005..0.03_f64, growth in 1.0..2.0_f64, e in 0.15..0.3_f64, dose in 5.0..900.0_f64,
    ) {
        let given = Given::Dose(grams(dose));
        let brew = portions(&targets(Way::Immersion, cup, growth, e), given).unwrap();
        let found = immersion_with_bypass(
            grams(brew.dose_g), grams(brew.water_g), grams(brew.beverage_g), grams(brew.bypass_g),
            part(cup));
        relative(found.unwrap().extraction_yield.fraction(), e, 1e-12, "yield");
    }
}

#[test]
fn what_cannot_be_brewed_is_refused() {
    let dose = Given::Dose(grams(18.0));
    let weaker = portions(&targets(Way::Percolation, 0.1, 0.9, 0.2), dose);
    assert!(matches!(weaker, Err(MathsError::NoSolution { .. })));
    let none_left = portions(&targets(Way::Immersion, 0.2, 1.0, 0.2), dose);
    assert!(matches!(none_left, Err(MathsError::NoSolution { .. })));
    assert!(portions(&targets(Way::Percolation, 0.1, 1.0, 0.35), dose).is_ok());
    let more = portions(&targets(Way::Percolation, 0.1, 1.0, 0.350_001), dose);
    assert!(matches!(more, Err(MathsError::Inconsistent { .. })));
    let nothing = portions(&targets(Way::Percolation, 0.0, 1.0, 0.2), dose);
    assert!(matches!(nothing, Err(MathsError::OutOfRange { .. })));
}
