//! One exercise: its data out of the seed, its values out of the calculation.

use serde_json::Value;

use super::TOPIC_VERSION;
use super::drawn::{Datum, Drawn};
use super::generator::Draws;
use super::place;
use super::question::{task, told};
use super::spelling::unit_meant;
use super::tolerance::{Tolerance, ToleranceFrom, is_on_the_edge, to_figures};
use super::topic::{Ask, Slip, Topic, Variant};
use super::worked::{answered, hazards_of, steps_of};
use crate::api::calculation::Call;
use crate::api::caution::CautionCode;
use crate::api::problem::Problem;
use crate::api::provenance::WorkingStep;
use crate::api::registry::{self, Entry};

/// Draws after which a topic is given up. The longest one keeps one draw in seven, so that 200 of
/// them fail once in 10¹³ seeds.
const MOST_ATTEMPTS: u64 = 200;
/// Marks of a step.
pub const MARKS_PER_STEP: u32 = 2;

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
    /// What can hurt where it is tried out.
    pub hazards: Vec<CautionCode>,
    /// Wrong ways that are told apart.
    pub(super) slips: &'static [Slip],
}

/// A step that is asked for, with its value.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Its name: the workings' own, with a number after `#` where several have it.
    pub step: String,
    /// What it is called in the question.
    pub words: &'static str,
    /// Significant figures wanted.
    pub figures: u8,
    /// The value, not rounded.
    pub value: f64,
    /// Unit of the value.
    pub unit: String,
    /// Standard uncertainty of the value, where it has one.
    pub uncertainty: Option<f64>,
}

impl Asked {
    fn of(ask: &Ask, steps: &[(String, WorkingStep)], answer: &Value) -> Option<Self> {
        let (_, step) = steps.iter().find(|(name, _)| name == ask.step)?;
        let uncertainty = ask.uncertainty.and_then(|path| place::get(answer, path));
        Some(Self {
            step: ask.step.to_owned(),
            words: ask.words,
            figures: ask.figures,
            value: step.value,
            unit: unit_meant(ask.unit.unwrap_or(&step.unit)),
            uncertainty: uncertainty.and_then(Value::as_f64),
        })
    }

    /// How near an answer must be.
    #[must_use]
    pub fn tolerance(&self) -> Tolerance {
        Tolerance::of(self.value, self.figures, self.uncertainty)
    }

    /// Whether the value can be asked for: something, and not on the edge between two roundings.
    fn is_clear(&self) -> bool {
        libm::fabs(self.value) > 1e-9
            && (self.tolerance().from == ToleranceFrom::Uncertainty
                || !is_on_the_edge(self.value, self.figures))
    }

    /// Whether the answer happens to stand among the data.
    fn is_given_away(&self, data: &[Datum]) -> bool {
        let answer = to_figures(self.value, self.figures);
        data.iter()
            .any(|datum| datum.text == answer && datum.unit.as_deref().unwrap_or("1") == self.unit)
    }
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
        for attempt in 0..MOST_ATTEMPTS {
            call.go_on()?;
            let numbers = [u64::from(TOPIC_VERSION), u64::from(wanted.level), attempt];
            let mut draws = Draws::of(wanted.seed, name, &numbers);
            let made = chosen(wanted, &mut draws)
                .and_then(|variant| Self::drawn(wanted, entry, (variant, &mut draws), call));
            if let Some(exercise) = made {
                return Ok(exercise);
            }
        }
        Err(Problem::internal(format!(
            "no exercise of {name} from seed {}",
            wanted.seed
        )))
    }

    fn drawn(
        wanted: Wanted,
        entry: &Entry,
        (variant, draws): (&'static Variant, &mut Draws),
        call: &Call<'_>,
    ) -> Option<Self> {
        let Drawn {
            request, mut data, ..
        } = Drawn::of(variant, draws);
        let answer = answered(entry, &request, call)?;
        let steps = steps_of(&answer);
        data.extend(steps.iter().filter_map(|(name, step)| {
            let is_told = variant.told.contains(&format!("{{{{{name}}}}}"));
            is_told.then(|| Datum::of_step(name, step))
        }));
        // all of them, or the question would not be the one that was written
        let asked: Option<Vec<_>> = variant
            .asks
            .iter()
            .map(|ask| {
                let asked = Asked::of(ask, &steps, &answer)?;
                (asked.is_clear() && !asked.is_given_away(&data)).then_some(asked)
            })
            .collect();
        let asked = asked?;
        let sources = answer["sources"].as_array().into_iter().flatten();
        Some(Self {
            wanted,
            question: format!("{} {}", told(variant.told, &data), task(&asked)),
            data,
            request,
            asked,
            solution: steps.iter().map(|(_, step)| step.clone()).collect(),
            sources: sources
                .filter_map(Value::as_str)
                .map(str::to_owned)
                .collect(),
            hazards: hazards_of(&answer),
            slips: variant.slips,
        })
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

/// A variant of the topic at the level.
fn chosen(wanted: Wanted, draws: &mut Draws) -> Option<&'static Variant> {
    let variants = wanted.topic.variants.iter();
    let of_level: Vec<_> = variants.filter(|v| v.level == wanted.level).collect();
    of_level.get(draws.place(of_level.len())).copied()
}
