//! Masses for a strength and a yield, and the density of the cup, against published values; the
//! source of each stands in its row of the tables.

use extraction_maths::maths::extraction::beverage_density::{
    DENSITY_PER_SOLIDS_UNCERTAINTY, beverage_density,
};
use extraction_maths::maths::extraction::targets::{Given, Targets, Way, brew_strength, portions};
use extraction_maths::maths::quantity::{Mass, MassFraction, Temperature};

use super::rows::rows;
use crate::support::relative;

fn grams(value: f64) -> Mass {
    Mass::from_grams(value).expect("a mass")
}

fn percent(value: f64) -> MassFraction {
    MassFraction::from_percent(value).expect("a fraction")
}

fn undiluted(way: Way, strength: f64, extracted: f64, retained_ratio: f64) -> Targets {
    Targets {
        way,
        cup_strength: percent(strength),
        extraction_yield: percent(extracted),
        brew_strength: percent(strength),
        retained_ratio,
    }
}

/// [guinard2023] grid of strength and yield: beverage per gram of dose.
#[test]
fn beverages_of_the_grid_are_reached() {
    let mut seen = 0;
    for row in rows("strength_yield_grid.csv") {
        if !row.id.ends_with("-BD") {
            continue;
        }
        seen += 1;
        let (strength, extracted) = (row.number("TDS_pct"), row.number("PE_pct"));
        let targets = undiluted(Way::Percolation, strength, extracted, 2.0);
        let brew = portions(&targets, Given::Dose(grams(20.0))).expect("masses");
        row.check(brew.cup_g / 20.0);
    }
    assert!(seen > 2, "rows of the grid");
}

/// Immersion at the yield of [liang2021]: the water that gives each strength.
#[test]
fn waters_of_immersion_brews_come_back() {
    let mut seen = 0;
    for row in rows("extraction_yield.csv") {
        let ratio = row
            .id
            .starts_with("EY-IM-")
            .then(|| row.number("R_water_per_dose"));
        let Some(ratio) = ratio else { continue };
        seen += 1;
        let extracted = percent(row.number("E_pct"));
        let strength = brew_strength(Way::Immersion, extracted, ratio).expect("a strength");
        row.check(strength.percent());
        let [printed] = row.expected()[..] else {
            panic!("{}: one strength", row.id)
        };
        let targets = undiluted(Way::Immersion, printed, extracted.percent(), 2.0);
        let brew = portions(&targets, Given::Dose(grams(20.0))).expect("masses");
        // the table prints five digits of the strength
        relative(brew.water_g / 20.0, ratio, 2e-5, &row.id);
        relative(brew.cup_g, brew.water_g - 40.0, 1e-12, &row.id);
    }
    assert!(seen > 3, "rows of immersion");
}

/// Brewed at 2.8 % and drunk at 2.0 %: 40 g of water to 100 g, table of yields, EY-BY-2.
#[test]
fn bypass_water_of_the_table_is_found() {
    let rows = rows("extraction_yield.csv");
    let row = rows
        .iter()
        .find(|row| row.id == "EY-BY-2")
        .expect("the row");
    let targets = Targets {
        brew_strength: percent(row.number("TDS_pct")),
        ..undiluted(Way::Percolation, row.number("target_pct"), 20.0, 2.0)
    };
    let brew = portions(&targets, Given::Beverage(grams(row.number("brew_g")))).expect("masses");
    row.check(brew.bypass_g);
}

/// Sucrose solutions at 20 °C (handbook table, read on a secondary page) are within two
/// standard uncertainties of the factor.
#[test]
fn densities_lie_near_those_of_sugar_solutions() {
    let mut seen = 0;
    for row in rows("refractometry.csv") {
        if !row.id.starts_with("RX-SD") {
            continue;
        }
        seen += 1;
        let strength = percent(row.number("mass_pct"));
        let celsius = Temperature::from_celsius(20.0).expect("a temperature");
        let density = beverage_density(strength, celsius).expect("a density");
        let [printed] = row.expected()[..] else {
            panic!("{}: one density", row.id)
        };
        let allowed = 2.0 * DENSITY_PER_SOLIDS_UNCERTAINTY * strength.fraction();
        relative(
            density.kilograms_per_cubic_metre(),
            printed,
            allowed,
            &row.id,
        );
    }
    assert_eq!(seen, 3, "rows of sucrose");
}

/// Espressos of 52.5 and 58.2 mg/mL at 20 °C: 1.0198 and 1.0219 g/mL [beverage-density], from
/// memory
#[test]
fn densities_lie_near_those_of_two_espressos() {
    for (milligrams, printed) in [(52.5, 1019.8), (58.2, 1021.9)] {
        let strength = percent(100.0 * milligrams / printed);
        let celsius = Temperature::from_celsius(20.0).expect("a temperature");
        let density = beverage_density(strength, celsius).expect("a density");
        let allowed = 2.0 * DENSITY_PER_SOLIDS_UNCERTAINTY * strength.fraction();
        relative(
            density.kilograms_per_cubic_metre(),
            printed,
            allowed,
            "espresso",
        );
    }
}
