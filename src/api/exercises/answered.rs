//! Exercises answered rightly and in every wrong way, in all topics and levels.

use std::collections::BTreeMap;

use super::diagnosis::DiagnosisCode as Code;
use super::exercise::{Asked, Exercise, Wanted};
use super::marking::{Given, Judged, judged};
use super::tolerance::Tolerance;
use super::topics::TOPICS;
use crate::api::calculation::UNCANCELLED;

fn exercises(seeds: u64) -> impl Iterator<Item = Exercise> {
    let levels = TOPICS
        .iter()
        .flat_map(|topic| (1..=3).map(move |level| (topic, level)));
    let all = levels.flat_map(move |(topic, level)| (0..seeds).map(move |s| (topic, level, s)));
    all.map(|(topic, level, seed)| {
        Exercise::of(Wanted { topic, level, seed }, &UNCANCELLED).expect(topic.name)
    })
}

fn named(exercise: &Exercise) -> String {
    let Wanted { topic, level, seed } = exercise.wanted;
    format!("{} {level} {seed}", topic.name)
}

fn rounded(value: f64, figures: u8) -> f64 {
    let digits = usize::from(figures) - 1;
    format!("{value:.digits$e}").parse().unwrap()
}

/// However a right value is written, nothing is said to be wrong with it.
#[test]
fn no_right_answer_gets_a_diagnosis() {
    for exercise in exercises(10) {
        for more in [0, 1, 9] {
            let given = exercise.asked.iter().zip(0..).map(|(asked, place)| {
                Some(Given {
                    value: rounded(asked.value, asked.figures + more),
                    unit: (place % 2 == 0).then_some(asked.unit.as_str()),
                })
            });
            let given: Vec<_> = given.collect();
            for (judged, asked) in judged(&exercise, &given, &UNCANCELLED)
                .iter()
                .zip(&exercise.asked)
            {
                let context = format!("{} {}", named(&exercise), asked.step);
                assert_eq!(judged.diagnosis, None, "{context}");
                assert_eq!(judged.marks, 2, "{context}");
            }
        }
    }
}

/// A wrong way of an exercise: its code and the values of its steps.
type Way = (Code, Vec<(String, f64)>);

fn value_of(way: &Way, step: &str) -> Option<f64> {
    way.1
        .iter()
        .find(|(name, _)| name == step)
        .map(|(_, value)| *value)
}

/// Every wrong way of every topic, answered to the figures wanted, is told as what it is, but
/// where it gives the right value or that of another wrong way.
#[test]
fn every_wrong_way_gets_its_own_diagnosis() {
    let mut told: BTreeMap<(&str, u8, String), bool> = BTreeMap::new();
    for exercise in exercises(8) {
        let of_slip = |slip: &_| exercise.wrong_values(slip, &UNCANCELLED);
        let ways: Vec<Way> = exercise
            .slips
            .iter()
            .map(|slip| (slip.code, of_slip(slip)))
            .collect();
        for way in &ways {
            let given: Vec<_> = exercise
                .asked
                .iter()
                .map(|asked| {
                    let value = rounded(value_of(way, &asked.step)?, asked.figures);
                    Some(Given { value, unit: None })
                })
                .collect();
            let all = judged(&exercise, &given, &UNCANCELLED);
            let mut is_told = false;
            for ((judged, asked), given) in all.iter().zip(&exercise.asked).zip(&given) {
                let Some(given) = given else { continue };
                let context = format!("{} {} {given:?}", named(&exercise), asked.step);
                is_told |= is_told_as(way, (judged, asked, given.value), &ways)
                    .unwrap_or_else(|wrong| panic!("{context}: {wrong:?}"));
            }
            let Wanted { topic, level, .. } = exercise.wanted;
            let name = (topic.name, level, format!("{:?}", way.0));
            *told.entry(name).or_default() |= is_told;
        }
    }
    let never: Vec<_> = told.iter().filter(|(_, is_told)| !**is_told).collect();
    assert!(never.is_empty(), "{never:?}");
}

/// Whether the answer of a wrong way is told as it; an error when it is told as what it is not.
fn is_told_as(
    way: &Way,
    (judged, asked, given): (&Judged, &Asked, f64),
    ways: &[Way],
) -> Result<bool, Option<Code>> {
    let wrong = value_of(way, &asked.step).ok_or(None)?;
    let is_right = |value| asked.tolerance().holds(value, asked.value);
    let also = |code| {
        let mut others = ways.iter().filter(|other| other.0 == code);
        others.any(|other| {
            value_of(other, &asked.step)
                .is_some_and(|value| Tolerance::of(value, asked.figures, None).holds(given, value))
        })
    };
    match judged.diagnosis {
        None if is_right(given) => Ok(false),
        // right to these figures, and wrong by its own rounding alone
        Some(Code::RoundedTooEarly) if is_right(wrong) => Ok(false),
        Some(code) if code == way.0 => Ok(true),
        Some(code) if also(code) => Ok(false),
        diagnosis => Err(diagnosis),
    }
}

/// Codes that a slip or the marking of any topic gives: the table holds no other.
#[test]
fn every_diagnosis_can_be_given() {
    let general = [
        Code::WrongUnit,
        Code::PercentForFraction,
        Code::UpsideDown,
        Code::WrongSign,
        Code::DecimalPoint,
        Code::RoundedTooEarly,
        Code::Missing,
        Code::NotTold,
    ];
    let mut slips = TOPICS
        .iter()
        .flat_map(|topic| topic.variants)
        .flat_map(|variant| variant.slips.iter().map(|slip| slip.code))
        .collect::<Vec<_>>();
    slips.extend(general);
    for code in Code::ALL {
        assert!(slips.contains(code), "{code:?} is never given");
    }
}
