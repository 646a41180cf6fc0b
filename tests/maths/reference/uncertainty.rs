//! Uncertainty of the yield against an independent propagation (the uncertainties package of
//! Python, see tests/data/SOURCES.md), and means of ill-conditioned readings.

use std::collections::HashMap;

use extraction_maths::maths::extraction::extracted::{Extracted, Sensitivities};
use extraction_maths::maths::extraction::immersion::{
    immersion, immersion_with_bypass, immersion_with_bypass_in_cup,
};
use extraction_maths::maths::extraction::percolation::{percolation, percolation_with_bypass};
use extraction_maths::maths::quantity::{Mass, MassFraction};
use extraction_maths::maths::uncertainty::DegreesOfFreedom;
use extraction_maths::maths::uncertainty::combine::{Correlations, Input, combined_uncertainty};
use extraction_maths::maths::uncertainty::type_a::type_a;

use crate::support::{relative, table};

fn number(row: &HashMap<String, String>, name: &str) -> f64 {
    row[name].parse().expect("a number")
}

fn known(standard_uncertainty: f64, sensitivity: f64) -> Input {
    Input {
        standard_uncertainty,
        sensitivity,
        degrees_of_freedom: DegreesOfFreedom::INFINITE,
    }
}

fn brew(row: &HashMap<String, String>) -> Extracted {
    let mass = |name: &str| Mass::from_grams(number(row, name)).expect("a mass");
    let (dose, beverage) = (mass("dose_g"), mass("beverage_g"));
    let (water, bypass) = (mass("water_g"), mass("bypass_g"));
    let strength = MassFraction::from_percent(number(row, "strength_percent")).expect("it");
    match row["form"].as_str() {
        "percolation-bypass" => percolation_with_bypass(dose, beverage, bypass, strength),
        "immersion" => immersion(dose, water, strength),
        "immersion-bypass" => immersion_with_bypass(dose, water, beverage, bypass, strength),
        "immersion-bypass-final" => {
            immersion_with_bypass_in_cup(dose, water, beverage, bypass, strength)
        }
        _ => percolation(dose, beverage, strength),
    }
    .expect("a yield")
}

#[test]
fn uncertainties_of_the_yield_match_an_independent_propagation() {
    for row in table("uncertainties_yield.csv") {
        let found = brew(&row);
        let form = &row["form"];
        relative(
            found.extraction_yield.percent(),
            number(&row, "yield_percent"),
            1e-12,
            form,
        );
        let Sensitivities {
            dose,
            beverage,
            water,
            bypass,
            strength,
        } = found.sensitivities;
        let budget = [
            known(number(&row, "u_dose"), 100.0 * dose),
            known(number(&row, "u_beverage"), 100.0 * beverage),
            known(number(&row, "u_water"), 100.0 * water),
            known(number(&row, "u_bypass"), 100.0 * bypass),
            known(number(&row, "u_strength"), strength),
        ];
        let all = combined_uncertainty(&budget, &Correlations::none()).expect("an uncertainty");
        relative(
            all.standard_uncertainty,
            number(&row, "u_yield_points"),
            1e-9,
            form,
        );
    }
}

/// a b / c at 2, 3, 5 with uncertainties 0.1, 0.2, 0.3 and correlations.
#[test]
fn correlated_inputs_match_an_independent_propagation() {
    for row in table("uncertainties_correlated.csv") {
        let y = 2.0 * 3.0 / 5.0;
        let inputs = [
            known(0.1, y / 2.0),
            known(0.2, y / 3.0),
            known(0.3, -y / 5.0),
        ];
        let correlations = Correlations::none()
            .with(0, 1, number(&row, "r_ab"))
            .and_then(|all| all.with(0, 2, number(&row, "r_ac")))
            .and_then(|all| all.with(1, 2, number(&row, "r_bc")))
            .expect("correlations");
        let all = combined_uncertainty(&inputs, &correlations).expect("an uncertainty");
        relative(
            all.standard_uncertainty,
            number(&row, "u"),
            1e-9,
            &format!("{row:?}"),
        );
        let shares: f64 = all.contributions.iter().map(|part| part.share).sum();
        relative(shares, 1.0, 1e-12, "sum of the shares");
    }
}

/// Statistical reference datasets `NumAcc1` to `NumAcc4` of NIST (from memory): a large mean with
/// a small spread, certified standard deviations 1 and 0.1.
#[test]
fn spreads_beside_a_large_mean_keep_their_digits() {
    let first = type_a(&[10_000_001.0, 10_000_003.0, 10_000_002.0]).expect("readings");
    relative(first.mean, 10_000_002.0, 1e-16, "NumAcc1 mean");
    relative(first.standard_deviation, 1.0, 1e-15, "NumAcc1");
    for (offset, tolerance) in [(1.0, 1e-13), (1_000_000.0, 1e-8), (10_000_000.0, 1e-7)] {
        let mut readings = vec![offset + 0.2];
        for _ in 0..500 {
            readings.extend([offset + 0.1, offset + 0.3]);
        }
        let found = type_a(&readings).expect("readings");
        // the tolerance is the rounding of the readings themselves
        relative(found.mean, offset + 0.2, 1e-15, "NumAcc mean");
        relative(found.standard_deviation, 0.1, tolerance, "NumAcc");
        assert_eq!(found.degrees_of_freedom.value(), Some(1000.0));
    }
}
