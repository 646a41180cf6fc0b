//! How the interval of the shot time comes about.

use crate::api::provenance::{WorkingStep, shown};
use crate::maths::dial_in::{Prediction, Recipe};

/// The derivation of ratio and interval.
pub(super) fn steps(recipe: &Recipe, prediction: &Prediction) -> Vec<WorkingStep> {
    let spread = &prediction.ln_time_spread;
    let whole = spread.whole();
    let (k, time) = (prediction.coverage_factor, prediction.shot_time_s);
    let end = |step, formula, sign: &str, value| {
        WorkingStep::new(
            step,
            (formula, "jcgm2008"),
            format!(
                "{} × exp({sign}{} × {})",
                shown(time.value),
                shown(k),
                shown(whole)
            ),
            (value, "s"),
        )
    };
    vec![
        ratio(recipe),
        WorkingStep::new(
            "spread of the logarithm of the shot time: what the shots leave open, the puck and the reading",
            ("s = w sqrt(s_u^2 + s_p^2 + s_r^2)", "jcgm2008"),
            format!(
                "{} × sqrt({}^2 + {}^2 + {}^2)",
                shown(spread.widening),
                shown(spread.unknowns),
                shown(spread.puck),
                shown(spread.reading)
            ),
            (whole, "1"),
        ),
        end("lower end of the shot time", "t exp(−k s)", "−", time.low),
        end("upper end of the shot time", "t exp(k s)", "", time.high),
    ]
}

fn ratio(recipe: &Recipe) -> WorkingStep {
    WorkingStep::new(
        "brew ratio of the next shot",
        ("R = B / D", "packedbed"),
        format!(
            "{} / {}",
            shown(recipe.beverage.grams()),
            shown(recipe.dose.grams())
        ),
        (recipe.brew_ratio(), "1"),
    )
}
