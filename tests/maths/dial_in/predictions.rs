//! How near predictions come to the truth of drawn worlds, and how often intervals hold.
//!
//! Figures of 150 worlds beside each limit are from the same draws in an optimised build; the
//! limits leave room for the fewer worlds here.

use extraction_maths::maths::dial_in::{Fit, HigherIs, PulledShot, Recipe, Regression};

use super::worlds::{Physics, recipe, usual};

/// Errors of a kind of next shot over many worlds.
#[derive(Default)]
struct Errors {
    time: Vec<f64>,
    extraction: Vec<f64>,
    regressed_time: Vec<f64>,
    regressed_extraction: Vec<f64>,
    time_held: f64,
    extraction_held: f64,
}

fn rms(errors: &[f64]) -> f64 {
    let count = f64::from(u32::try_from(errors.len()).expect("few"));
    (errors.iter().map(|error| error * error).sum::<f64>() / count).sqrt()
}

impl Errors {
    fn add(&mut self, shots: &[PulledShot], truth: &PulledShot, dial_fit: &Fit) {
        let next: &Recipe = &truth.recipe;
        let prediction = dial_fit
            .prediction((next, 60.0), shots, 0.9, &|| false)
            .expect("a prediction")
            .expect("not cancelled");
        let ln_truth = truth.shot_time_s.ln();
        let dissolved = truth.dissolved_fraction.expect("a strength");
        let points = |fraction: f64| 100.0 * (fraction - dissolved) * next.brew_ratio();
        let (time, strength) = (
            prediction.shot_time_s,
            prediction.dissolved_fraction.expect("a strength"),
        );
        self.time.push(time.value.ln() - ln_truth);
        self.extraction.push(points(strength.value));
        let holds = |low: f64, high: f64, value: f64| f64::from(low <= value && value <= high);
        self.time_held += holds(time.low, time.high, truth.shot_time_s);
        self.extraction_held += holds(strength.low, strength.high, dissolved);
        if let Some(lines) = Regression::of(shots, next) {
            self.regressed_time
                .push(lines.ln_time.at(next.setting) - ln_truth);
            let line = lines.dissolved_fraction.expect("strengths");
            self.regressed_extraction
                .push(points(line.at(next.setting)));
        }
    }

    fn of(count: usize, physics: Physics, settings: &[f64], next: &Recipe) -> Self {
        let mut errors = Self::default();
        for mut world in usual(count, HigherIs::Coarser, physics) {
            let shots = world.pulled_at(settings);
            let (Some(shots), Some(truth)) = (shots, world.pulled(next)) else {
                continue;
            };
            let fit = Fit::of(&shots, world.dial, &|| false)
                .expect("a fit")
                .expect("not cancelled");
            errors.add(&shots, &truth, &fit);
        }
        assert!(
            errors.time.len() * 10 >= count * 9,
            "most worlds can be pulled"
        );
        errors
    }

    fn held(&self) -> (f64, f64) {
        let count = f64::from(u32::try_from(self.time.len()).expect("few"));
        (self.time_held / count, self.extraction_held / count)
    }
}

/// Three shots with puck noise, between the settings tried: 4.4 % of the time and 0.25 points of
/// yield (rms, 150 worlds), regression 4.6 % and 0.27; intervals of 90 % held 94 and 89 %.
#[test]
fn three_shots_predict_the_next_between_them_to_the_noise_of_the_puck() {
    let errors = Errors::of(50, Physics::Right, &[20.0, 18.0, 22.0], &recipe(21.0));
    let (time, extraction) = (rms(&errors.time), rms(&errors.extraction));
    assert!(time <= 0.05, "{time}");
    assert!(extraction <= 0.30, "{extraction}");
    assert!(time <= 1.1 * rms(&errors.regressed_time));
    assert!(extraction <= 1.1 * rms(&errors.regressed_extraction));
    let (time_held, extraction_held) = errors.held();
    assert!(time_held >= 0.84, "{time_held}");
    assert!(extraction_held >= 0.80, "{extraction_held}");
}

/// One shot, one step aside on an unknown dial: 7.2 % and 0.59 points (150 worlds); intervals held
/// 88 and 97 %, the latter widened since the setting is outside of those tried.
#[test]
fn one_shot_is_enough_to_begin_with() {
    let errors = Errors::of(50, Physics::Right, &[20.0], &recipe(21.0));
    assert!(rms(&errors.time) <= 0.09);
    assert!(rms(&errors.extraction) <= 0.8);
    let (time_held, extraction_held) = errors.held();
    assert!(time_held >= 0.78 && extraction_held >= 0.88);
}

/// Under physics that the fit does not know: 4.9 % and 0.25 points, held 91 and 91 % (150 worlds).
#[test]
fn other_physics_than_the_models_is_predicted_nearly_as_well() {
    let errors = Errors::of(40, Physics::Other, &[20.0, 18.0, 22.0], &recipe(21.0));
    assert!(rms(&errors.time) <= 0.065);
    assert!(rms(&errors.extraction) <= 0.4);
    let (time_held, extraction_held) = errors.held();
    assert!(time_held >= 0.8 && extraction_held >= 0.8);
}

/// Six steps beyond one known shot, of 3 to 31 µm each: off by 40 % (rms), and the interval knows:
/// held 87 % (150 worlds).
#[test]
fn an_interval_far_from_the_shots_is_as_wide_as_what_is_not_known() {
    let errors = Errors::of(40, Physics::Right, &[20.0], &recipe(14.0));
    let (time_held, _) = errors.held();
    assert!(time_held >= 0.75, "{time_held}");
}
