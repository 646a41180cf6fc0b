//! Every shot of `tests/data/simulation.csv` and `simulation_parameters.csv`, computed with an
//! independent program (finite volumes fitted to the front, an implicit
//! multistep method, 400 cells).

use extraction_maths::maths::simulation::{Accuracy, Bed, Outcome, run};

use super::cases::{Case, Expected, cases};
use crate::support::{published, relative};

/// What an accuracy promises, relative where no unit is named.
struct Promise {
    first_drop: f64,
    time_to_target: f64,
    cup: f64,
    flow: f64,
    beverage_g: f64,
    tds_percent: f64,
}

const STANDARD: Promise = Promise {
    first_drop: 2e-3,
    time_to_target: 1e-3,
    cup: 2e-3,
    flow: 5e-3,
    beverage_g: 0.05,
    tds_percent: 0.08,
};

const FINE: Promise = Promise {
    first_drop: 5e-4,
    time_to_target: 5e-4,
    cup: 1e-3,
    flow: 5e-3,
    beverage_g: 0.05,
    tds_percent: 0.08,
};

/// Filling of the headspace is solved to rounding; the tables print six decimals.
const HEADSPACE_S: f64 = 1e-6;
/// The cup is hardly more than a drop before this, so its strength says little.
const AFTER_FIRST_DROP_S: f64 = 1.0;

fn check(case: &Case, accuracy: Accuracy, promise: &Promise) {
    let outcome = run(&case.shot, &case.parameters, accuracy, &|| false).expect("an outcome");
    let name = &case.name;
    let headspace_full_s = outcome.headspace_full_s.expect("a full headspace");
    assert!(
        (headspace_full_s - case.headspace_full_s).abs() <= HEADSPACE_S,
        "{name}"
    );
    let first_drop_s = outcome.first_drop_s.expect("a first drop");
    relative(first_drop_s, case.first_drop_s, promise.first_drop, name);
    let cup = outcome.at_target.expect("the target");
    assert_eq!(outcome.time_to_target_s, Some(cup.time_s), "{name}");
    relative(cup.time_s, case.target.time_s, promise.time_to_target, name);
    relative(cup.beverage_mass_g, case.target.beverage_g, 1e-9, name);
    relative(
        cup.dissolved_fraction * 100.0,
        case.target.tds_percent,
        promise.cup,
        name,
    );
    let extraction_percent = cup.extraction_fraction * 100.0;
    relative(
        extraction_percent,
        case.target.extraction_percent,
        promise.cup,
        name,
    );
    relative(
        cup.flow_g_per_s,
        case.target.flow_g_per_s,
        promise.flow,
        name,
    );
    check_samples(case, &outcome, promise);
    assert!(outcome.diagnostics.solute_defect <= 1e-12, "{name}");
    assert!(outcome.diagnostics.water_defect <= 1e-12, "{name}");
}

fn check_samples(case: &Case, outcome: &Outcome, promise: &Promise) {
    let name = &case.name;
    assert_eq!(outcome.samples.len(), case.samples.len(), "{name}");
    for (cup, expected) in outcome.samples.iter().zip(&case.samples) {
        assert!((cup.time_s - expected.time_s).abs() < 1e-12, "{name}");
        if expected.time_s < case.first_drop_s - 0.2 {
            assert!(
                cup.beverage_mass_g == 0.0 && cup.flow_g_per_s == 0.0,
                "{name}"
            );
        }
        if expected.time_s <= case.first_drop_s + AFTER_FIRST_DROP_S {
            continue;
        }
        let Expected {
            time_s,
            beverage_g,
            tds_percent,
            flow_g_per_s,
            ..
        } = *expected;
        let what = format!("{name} at {time_s} s");
        assert!(
            (cup.beverage_mass_g - beverage_g).abs() <= promise.beverage_g,
            "{what}"
        );
        let tds = cup.dissolved_fraction * 100.0;
        assert!(
            (tds - tds_percent).abs() <= promise.tds_percent,
            "{what}: {tds}"
        );
        relative(cup.flow_g_per_s, flow_g_per_s, promise.flow, &what);
    }
}

#[test]
fn shots_agree_with_an_independent_program() {
    for case in cases("simulation.csv") {
        check(&case, Accuracy::Standard, &STANDARD);
        check(&case, Accuracy::Fine, &FINE);
    }
}

#[test]
fn shots_with_other_parameters_agree_with_an_independent_program() {
    for case in cases("simulation_parameters.csv") {
        check(&case, Accuracy::Standard, &STANDARD);
        check(&case, Accuracy::Fine, &FINE);
    }
}

/// Constants of the first and the ninth shot as the independent program printed them.
#[test]
fn constants_of_a_shot_agree_with_an_independent_program() {
    let all = cases("simulation.csv");
    let constants = |index: usize| -> Bed {
        Bed::new(&all[index].shot, &all[index].parameters).expect("a bed")
    };
    let first = constants(0);
    published(first.area_m2, "2.678647560e-3", "m2");
    published(first.depth_m, "1.866613613e-2", "m");
    published(first.grain_solubles_kg_per_m3, "144.5783133", "kg/m3");
    published(first.partition, "1.010688857", "1");
    published(first.wetting, "0.4439", "1");
    published(first.fines_share, "0.25", "1");
    published(first.sauter_diameter_m, "7.962085308e-5", "m");
    published(first.pore_radius_m, "5.435961857e-6", "m");
    published(first.film_m_per_s, "6.059645168e-4", "m/s");
    published(first.fines_transfer_m_per_s, "7.394616430e-5", "m/s");
    published(first.permeability_m2, "9.042202481e-15", "m2");
    published(first.restrictor_pa_s2_per_m6, "1.567686874e16", "Pa s2/m6");
    published(first.viscosity_pa_s, "3.038595918e-4", "Pa s");
    published(first.water_density_kg_per_m3, "963.512739", "kg/m3");
    let ninth = constants(8);
    let radius_m = 0.5 * 330e-6;
    published(ninth.depth_m, "1.699767993e-2", "m");
    published(ninth.fines_share, "0.2589837240", "1");
    published(ninth.viscosity_pa_s, "3.332158161e-4", "Pa s");
    published(ninth.water_density_kg_per_m3, "968.853562", "kg/m3");
    published(
        ninth.coarse_rate_per_s * radius_m * radius_m,
        "1.783952373e-10",
        "m2/s",
    );
    published(ninth.permeability_m2, "8.053991977e-15", "m2");
    published(ninth.restrictor_pa_s2_per_m6, "1.576376679e16", "Pa s2/m6");
}
