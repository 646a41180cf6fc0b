//! One exercise: its data out of the seed, its values out of the calculation.

use serde_json::{Value, json};

use super::TOPIC_VERSION;
use super::drawn::{Datum, Drawn};
use super::generator::Draws;
use super::place;
use super::topic::{Slip, Topic, Variant};
use super::varied;
use crate::api::calculation::Call;
use crate::api::problem::Problem;
use crate::api::provenance::WorkingStep;
use crate::api::registry::{self, Entry};
use crate::api::units::without_unit;

/// Draws after which an example is taken as it stands.
const MOST_ATTEMPTS: u64 = 40;
/// Marks of a step.
pub const MARKS_PER_STEP: u32 = 2;
/// Significant figures where an exercise says nothing else.
const FIGURES: u8 = 3;

/// What an exercise is made of: its topic, its level and its seed.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// The topic.
    pub topic: &'static Topic,
    /// How hard, from 1 to 3.
    pub level: u8,
    /// Where its numbers come from.
    pub seed: u64,
}

/// An exercise with its values.
#[derive(Debug)]
pub struct Exercise {
    /// What it is made of.
    pub wanted: Wanted,
    /// The question in words.
    pub question: String,
    /// What is given.
    pub data: Vec<Datum>,
    /// What the calculation is asked, without `workings`.
    pub request: Value,
    /// The steps that are asked for.
    pub asked: Vec<Asked>,
    /// The whole derivation.
    pub solution: Vec<WorkingStep>,
    /// Sources of the calculation's answer.
    pub sources: Vec<String>,
    /// Wrong ways that are told apart.
    pub(super) slips: &'static [Slip],
}

/// A step that is asked for, with its value.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Its name: the workings' own, with a number after `#` where several have it.
    pub step: String,
    /// Significant figures wanted.
    pub figures: u8,
    /// The value, not rounded.
    pub value: f64,
    /// Unit of the value.
    pub unit: String,
    /// Standard uncertainty of the value, where it has one.
    pub uncertainty: Option<f64>,
}

impl Exercise {
    /// The exercise of a topic, a level and a seed.
    ///
    /// # Errors
    /// [`Problem::internal`] when a topic makes none, which is a mistake of ours, and what ends
    /// the call.
    pub fn of(wanted: Wanted, call: &Call<'_>) -> Result<Self, Problem> {
        let name = wanted.topic.name;
        let entry = registry::find(name)
            .ok_or_else(|| Problem::internal(format!("{name} is not registered")))?;
        for attempt in 0..=MOST_ATTEMPTS {
            call.go_on()?;
            let numbers = [u64::from(TOPIC_VERSION), u64::from(wanted.level), attempt];
            let mut draws = Draws::of(wanted.seed, name, &numbers);
            let made = match chosen(wanted, &mut draws) {
                Some(variant) => Self::by_hand(wanted, entry, (variant, &mut draws), call),
                None => Self::varied(wanted, entry, (attempt < MOST_ATTEMPTS, &mut draws), call),
            };
            if let Some(exercise) = made.filter(|exercise| !exercise.asked.is_empty()) {
                return Ok(exercise);
            }
        }
        Err(Problem::internal(format!(
            "no exercise of {name} from seed {}",
            wanted.seed
        )))
    }

    fn by_hand(
        wanted: Wanted,
        entry: &Entry,
        (variant, draws): (&'static Variant, &mut Draws),
        call: &Call<'_>,
    ) -> Option<Self> {
        let drawn = Drawn::of(variant, draws);
        let answer = answered(entry, &drawn.request, call)?;
        let steps = steps_of(&answer);
        let asked: Vec<_> = variant
            .asks
            .iter()
            .filter_map(|ask| {
                let (_, step) = steps.iter().find(|(name, _)| name == ask.step)?;
                let uncertainty = ask.uncertainty.and_then(|path| place::get(&answer, path));
                Some(asked(
                    ask.step,
                    step,
                    (ask.figures, uncertainty.and_then(Value::as_f64)),
                ))
            })
            .collect();
        // all of them, or the question would not be the one that was written
        (asked.len() == variant.asks.len()).then_some(())?;
        let told = told(variant.told, &drawn.data);
        Some(Self::new(
            wanted,
            (told, drawn.data, drawn.request),
            (asked, answer),
            variant.slips,
        ))
    }

    fn varied(
        wanted: Wanted,
        entry: &Entry,
        (is_varied, draws): (bool, &mut Draws),
        call: &Call<'_>,
    ) -> Option<Self> {
        let (mut request, data) = varied::example(entry, draws, is_varied);
        request.as_object_mut()?.remove("workings");
        let answer = answered(entry, &request, call)?;
        let most = match wanted.level {
            1 => 2,
            2 => 4,
            _ => 8,
        };
        let steps = steps_of(&answer);
        let asked: Vec<_> = steps
            .iter()
            .filter(|(_, step)| is_worth_asking(step))
            .take(most)
            .map(|(name, step)| asked(name, step, (FIGURES, None)))
            .collect();
        let given: Vec<_> = data
            .iter()
            .map(|datum| format!("{} {}", spoken(&datum.field), datum.told()))
            .collect();
        let told = format!("{}. Given are: {}.", entry.summary, given.join("; "));
        Some(Self::new(
            wanted,
            (told, data, request),
            (asked, answer),
            &[],
        ))
    }

    fn new(
        wanted: Wanted,
        (told, data, request): (String, Vec<Datum>, Value),
        (asked, answer): (Vec<Asked>, Value),
        slips: &'static [Slip],
    ) -> Self {
        let texts = answer["sources"].as_array().into_iter().flatten();
        Self {
            wanted,
            question: format!("{told} {}", task(&asked)),
            data,
            request,
            asked,
            solution: serde_json::from_value(answer["workings"].clone()).unwrap_or_default(),
            sources: texts.filter_map(Value::as_str).map(str::to_owned).collect(),
            slips,
        }
    }

    /// The steps' values when the calculation is asked in a wrong way; none when it refuses.
    pub(super) fn wrong_values(&self, slip: &Slip, call: &Call<'_>) -> Vec<(String, f64)> {
        if let Some((step, factor)) = slip.scaled {
            let scaled = self.asked.iter().filter(|asked| asked.step == step);
            return scaled
                .map(|asked| (asked.step.clone(), asked.value * factor))
                .collect();
        }
        let wrong = slip
            .changes
            .iter()
            .try_fold(self.request.clone(), |request, change| {
                place::changed(request, *change)
            });
        let answer = registry::find(self.wanted.topic.name)
            .zip(wrong)
            .and_then(|(entry, request)| answered(entry, &request, call));
        let steps = answer.map(|answer| steps_of(&answer)).unwrap_or_default();
        steps
            .into_iter()
            .map(|(name, step)| (name, step.value))
            .collect()
    }
}

/// A variant of the topic at the level, or of the hardest level below it.
fn chosen(wanted: Wanted, draws: &mut Draws) -> Option<&'static Variant> {
    let variants = wanted.topic.variants;
    let levels = variants.iter().map(|variant| variant.level);
    let level = levels.filter(|level| *level <= wanted.level).max()?;
    let of_level: Vec<_> = variants.iter().filter(|v| v.level == level).collect();
    of_level.get(draws.place(of_level.len())).copied()
}

/// The answer with its workings; none when the calculation refuses.
fn answered(entry: &Entry, request: &Value, call: &Call<'_>) -> Option<Value> {
    let mut request = request.clone();
    request["workings"] = json!(true);
    let mut out = Vec::new();
    entry
        .answer(request.to_string().as_bytes(), call, &mut out)
        .ok()?;
    serde_json::from_slice(&out).ok()
}

/// The steps of an answer by name, the second of a name as `name#2`.
fn steps_of(answer: &Value) -> Vec<(String, WorkingStep)> {
    let steps: Vec<WorkingStep> =
        serde_json::from_value(answer["workings"].clone()).unwrap_or_default();
    let mut named: Vec<(String, WorkingStep)> = Vec::with_capacity(steps.len());
    for step in steps {
        let before = named
            .iter()
            .filter(|(_, other)| other.step == step.step)
            .count();
        let name = if before == 0 {
            step.step.to_string()
        } else {
            format!("{}#{}", step.step, before + 1)
        };
        named.push((name, step));
    }
    named
}

fn asked(name: &str, step: &WorkingStep, (figures, uncertainty): (u8, Option<f64>)) -> Asked {
    Asked {
        step: name.to_owned(),
        figures,
        value: step.value,
        unit: step.unit.to_string(),
        uncertainty,
    }
}

/// Whether a step is worked out at all, and not only set down or nothing.
fn is_worth_asking(step: &WorkingStep) -> bool {
    let is_number = step.substituted.trim().parse::<f64>().is_ok();
    let is_date = step.unit.is_empty();
    !is_number && !is_date && libm::fabs(step.value) > 1e-9
}

/// The situation with the data put in.
fn told(text: &str, data: &[Datum]) -> String {
    data.iter().fold(text.to_owned(), |text, datum| {
        text.replace(&format!("{{{}}}", datum.field), &datum.told())
    })
}

/// A field or a step in words: without its unit, without underscores, and counted from one.
pub(super) fn spoken(name: &str) -> String {
    let parts: Vec<_> = name.split('.').map(spoken_part).collect();
    parts.join(" ").replace(['_', '#'], " ")
}

fn spoken_part(part: &str) -> String {
    let place = part.parse::<usize>();
    match (part, without_unit(part)) {
        ("tds_percent", _) => "strength".to_owned(),
        ("ph", _) => "pH".to_owned(),
        (whole, "") => whole.to_owned(),
        (whole, _) if whole.contains("_percent_of_") => whole.replace("_percent", ""),
        (_, bare) => place.map_or_else(|_| bare.to_owned(), |place| (place + 1).to_string()),
    }
}

/// What is to be found, step by step.
fn task(asked: &[Asked]) -> String {
    let parts: Vec<_> = asked
        .iter()
        .zip('a'..='z')
        .map(|(asked, letter)| {
            let unit = match asked.unit.as_str() {
                "1" => "as a pure number".to_owned(),
                unit => format!("in {unit}"),
            };
            let name = spoken(&asked.step);
            format!(
                "({letter}) {name} {unit}, to {} significant figures",
                asked.figures
            )
        })
        .collect();
    format!("Find {}.", parts.join("; "))
}
