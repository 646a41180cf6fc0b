//! What changes when cells and steps are halved, and when they are not.

use super::cases::{STANDARD, bed, cases, ordinary, outcome};
use extraction_maths::maths::simulation::{Accuracy, Outcome, Parameters, Shot, run};

/// Relative change of extraction below which its order says nothing.
const CANCELLED: f64 = 5e-5;

/// Extraction and time at the target, and the first drop.
fn answers(outcome: &Outcome) -> [f64; 3] {
    let cup = outcome.at_target.expect("the target");
    [
        cup.extraction_fraction,
        cup.time_s,
        outcome.first_drop_s.expect("a drop"),
    ]
}

fn changes(shot: &Shot, resolutions: [(u32, u32, f64); 2]) -> [f64; 3] {
    let [coarse, fine] = resolutions.map(|r| answers(&outcome(&bed(shot), shot, r)));
    [0, 1, 2].map(|k| (coarse[k] / fine[k] - 1.0).abs())
}

#[test]
fn halving_cells_and_steps_changes_little_and_again_less() {
    for case in cases("simulation.csv")
        .iter()
        .filter(|c| ["v01", "v03", "v07", "v13"].contains(&&*c.name))
    {
        let once = changes(&case.shot, [STANDARD, (120, 5, 0.125)]);
        let twice = changes(&case.shot, [(120, 5, 0.125), (240, 5, 0.0625)]);
        let what = format!("{}: {once:?} then {twice:?}", case.name);
        assert!(
            once[0] <= 1e-3 && once[1] <= 3e-4 && once[2] <= 5e-4,
            "{what}"
        );
        assert!(twice[1] < once[1] && twice[2] < once[2], "{what}");
        // Errors of space, time and modes cancel in the extraction of some shots.
        assert!(twice[0] < once[0].max(CANCELLED), "{what}");
    }
}

/// Observed order of the times on three grids: about two.
#[test]
fn times_converge_with_second_order() {
    let shot = ordinary(&[(0.0, 9.0)]);
    let once = changes(&shot, [(30, 8, 0.5), (60, 8, 0.25)]);
    let twice = changes(&shot, [(60, 8, 0.25), (120, 8, 0.125)]);
    for k in [1, 2] {
        let order = (once[k] / twice[k]).log2();
        assert!((1.2..3.5).contains(&order), "order {order}");
    }
}

#[test]
fn the_same_input_gives_the_same_bits() {
    let shot = Shot {
        sample_times_s: vec![8.0, 12.0, 30.0],
        ..ordinary(&[(0.0, 3.0), (7.0, 3.0), (8.0, 9.0)])
    };
    let once = || run(&shot, &Parameters::default(), Accuracy::Standard, &|| false);
    assert_eq!(once(), once());
}

/// A record of the cost, so that a change is seen in review. One step a cell while the front
/// moves, 60 + 59 + ... or 1830 cell-steps; then (27.63 - 8.80)/0.25 = 75.3, so 76 steps of 60
/// cells.
#[test]
fn the_work_of_an_ordinary_shot_stays_what_it_is() {
    let shot = ordinary(&[(0.0, 9.0)]);
    let outcome = run(&shot, &Parameters::default(), Accuracy::Standard, &|| false);
    let work = outcome.expect("an outcome").diagnostics;
    assert_eq!((work.steps, work.cell_steps), (60 + 76, 1830 + 76 * 60));
}
