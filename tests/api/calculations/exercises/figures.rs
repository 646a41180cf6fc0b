//! No step is asked to more figures than its data bear.

use serde_json::Value;

use super::{exercise, own_steps};
use extraction_maths::api::exercises::topics::TOPICS;

/// Most units of the last figure wanted that half a unit in the last place of every datum together
/// may move an answer. It is what the rule of the fewest figures allows: 9.95 / 1.01 is 9.85 to three,
/// and half a unit of the divisor moves it by 0.05, five units of its last figure.
const MOST_UNITS: f64 = 5.0;
/// Topics about scatter, where the readings are the data as they stand, and the last digit of one is
/// part of the scatter.
const OF_SCATTER: [&str; 4] = [
    "brew-comparison",
    "repeatability",
    "calibration-line",
    "consistency",
];
/// Counts, and what is set and not measured.
const EXACT: [&str; 7] = [
    "servings",
    "daily_shots",
    "lead_time_days",
    "order_every_days",
    "frozen_days",
    "altitude_m",
    "wait_s",
];

#[tokio::test]
async fn no_figure_is_wanted_that_the_data_do_not_bear() {
    let topics = TOPICS
        .iter()
        .filter(|topic| !OF_SCATTER.contains(&topic.name));
    for topic in topics {
        for (level, seed) in [(1, 3), (1, 4), (2, 3), (2, 4), (3, 3), (3, 4)] {
            let exercise = exercise(topic.name, level, seed).await;
            let right = own_steps(&exercise).await;
            let mut moved: Vec<(String, f64)> = Vec::new();
            for datum in exercise["data"].as_array().expect("data") {
                let Some(other) = with_half_a_unit_more(&exercise, datum) else {
                    continue;
                };
                for (step, value) in own_steps(&other).await {
                    let by = right.get(&step).map_or(0.0, |right| value - right);
                    moved.push((step, by * by));
                }
            }
            for asked in exercise["asked"].as_array().expect("steps") {
                let name = asked["step"].as_str().expect("a name");
                let squares = moved.iter().filter(|(step, _)| step == name);
                let all = squares.map(|(_, by)| by).sum::<f64>().sqrt();
                let figures = asked["significant_figures"].as_i64().expect("a count");
                let text = format!("{:e}", right[name]);
                let (_, power) = text.split_once('e').expect("an exponent");
                let place = power.parse::<i64>().expect("a number") + 1 - figures;
                let units = all / 10_f64.powi(i32::try_from(place).expect("small"));
                assert!(
                    units <= MOST_UNITS,
                    "{} {level} {seed}: {name} moves by {units} units",
                    topic.name
                );
            }
        }
    }
}

/// The exercise with one number half a unit in its last place larger; none where it is exact.
fn with_half_a_unit_more(exercise: &Value, datum: &Value) -> Option<Value> {
    let (field, text) = (datum["field"].as_str()?, datum["text"].as_str()?);
    if EXACT.contains(&field) {
        return None;
    }
    let decimals = text
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let half = 0.5 / 10_f64.powi(i32::try_from(decimals).ok()?);
    let mut other = exercise.clone();
    let pointer = format!("/request/{}", field.replace('.', "/"));
    let number = other.pointer_mut(&pointer)?;
    *number = (number.as_f64()? + half).into();
    Some(other)
}
