//! Bounds and monotonicity for random shots in range.

use extraction_maths::maths::quantity::{Length, Mass, Temperature};
use extraction_maths::maths::simulation::{
    Accuracy, Bed, Outcome, Parameters, Resolution, Shot, run, run_bed,
};
use proptest::prelude::*;

use super::cases::profile;

/// Rounding of a concentration at saturation.
const ROUNDING: f64 = 1e-12;

fn random_shot() -> impl Strategy<Value = Shot> {
    let coffee = (
        7.0..25.0_f64,
        49.0..60.0_f64,
        200.0..600.0_f64,
        60.0..100.0_f64,
    );
    let bars = prop_oneof![Just(0.0), 0.5..15.0_f64];
    let pressure = proptest::collection::vec((0.3..12.0_f64, bars), 1..6);
    (coffee, pressure, 1.0..3.0_f64).prop_map(|((dose, basket, grind, water), legs, ratio)| {
        let mut time = 0.0;
        let points: Vec<(f64, f64)> = legs
            .iter()
            .enumerate()
            .map(|(index, (length, bar))| {
                time += if index == 0 { 0.0 } else { *length };
                (time, *bar)
            })
            .collect();
        Shot {
            dose: Mass::from_grams(dose).expect("a dose"),
            basket_diameter: Length::from_millimetres(basket).expect("a basket"),
            grind_diameter_um: grind,
            water_temperature: Temperature::from_celsius(water).expect("water"),
            pressure_profile: profile(&points),
            target_beverage: Mass::from_grams(dose * ratio).expect("a target"),
            duration_s: 60.0,
            sample_times_s: (0..=60).map(f64::from).collect(),
        }
    })
}

fn standard(shot: &Shot) -> Outcome {
    run(shot, &Parameters::default(), Accuracy::Standard, &|| false).expect("an outcome")
}

fn check(outcome: &Outcome) -> Result<(), TestCaseError> {
    let found = &outcome.diagnostics;
    prop_assert!(
        found.solute_defect <= 1e-9 && found.water_defect <= 1e-9,
        "{found:?}"
    );
    if outcome.headspace_full_s.is_some() {
        prop_assert!(found.least_kg_per_m3 >= 0.0, "{found:?}");
        prop_assert!(
            found.greatest_kg_per_m3 <= 212.4 * (1.0 + ROUNDING),
            "{found:?}"
        );
    }
    for cup in &outcome.samples {
        prop_assert!(
            (0.0..=0.30 + 1e-9).contains(&cup.extraction_fraction),
            "{cup:?}"
        );
        prop_assert!((0.0..1.0).contains(&cup.dissolved_fraction), "{cup:?}");
        prop_assert!(
            cup.flow_g_per_s >= 0.0 && cup.flow_g_per_s.is_finite(),
            "{cup:?}"
        );
    }
    for pair in outcome.samples.windows(2) {
        prop_assert!(
            pair[1].beverage_mass_g >= pair[0].beverage_mass_g - 1e-9,
            "{pair:?}"
        );
        prop_assert!(
            pair[1].extraction_fraction >= pair[0].extraction_fraction - 1e-9,
            "{pair:?}"
        );
    }
    for layer in &outcome.bed {
        // Water soaked in may bring along at most chi c_sat/c_s0 = 0.485.
        prop_assert!(
            (0.0..=1.49).contains(&layer.solubles_left_fraction),
            "{layer:?}"
        );
    }
    Ok(())
}

/// So many cases, unless `PROPTEST_CASES` asks for another number.
fn cases(usual: u32) -> ProptestConfig {
    match std::env::var_os("PROPTEST_CASES") {
        Some(_) => ProptestConfig::default(),
        None => ProptestConfig::with_cases(usual),
    }
}

proptest! {
    #![proptest_config(cases(10_000))]

    #[test]
    fn random_shots_stay_inside_their_bounds(shot in random_shot()) {
        check(&standard(&shot))?;
    }
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn coarse_grids_conserve_too(shot in random_shot(), cells in 4_u32..30, modes in 2_u32..=12) {
        let bed = Bed::new(&shot, &Parameters::default()).expect("a bed");
        let resolution = Resolution { cells, modes, step_s: 0.5 };
        let found = run_bed(&bed, &shot, resolution, &|| false).expect("an outcome").diagnostics;
        prop_assert!(found.solute_defect <= 1e-9 && found.water_defect <= 1e-9, "{found:?}");
    }

    /// Extraction at 30 g does not rise with the grind; an allowance of 3 % of it.
    #[test]
    fn coarser_grinds_do_not_extract_more(shot in random_shot(), coarser in 1.0..1.5_f64) {
        let at_30 = |grind: f64| {
            let shot = Shot {
                grind_diameter_um: grind.min(600.0),
                target_beverage: Mass::from_grams(30.0).expect("a target"),
                ..shot.clone()
            };
            standard(&shot).at_target.map(|cup| cup.extraction_fraction)
        };
        let grind = shot.grind_diameter_um;
        if let (Some(finer), Some(coarser)) = (at_30(grind), at_30(grind * coarser)) {
            prop_assert!(coarser <= finer * 1.03, "{finer} then {coarser}");
        }
    }

    /// The first drop does not come later at more pressure; an allowance of 5 %.
    #[test]
    fn more_pressure_does_not_delay_the_first_drop(shot in random_shot(), bar in 1.0..14.0_f64) {
        let drop = |bar: f64| {
            let shot = Shot { pressure_profile: profile(&[(0.0, bar)]), ..shot.clone() };
            standard(&shot).first_drop_s
        };
        if let (Some(less), Some(more)) = (drop(bar), drop(bar + 1.0)) {
            prop_assert!(more <= less * 1.05, "{less} then {more}");
        }
    }
}
