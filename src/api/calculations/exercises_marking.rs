//! `exercises/marking`: marks for the answers to an exercise, and what went wrong.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::exercises::diagnosis::DiagnosisCode;
use crate::api::exercises::exercise::{Asked, Exercise, MARKS_PER_STEP, Wanted};
use crate::api::exercises::marking::{Given, Judged, judged};
use crate::api::exercises::tolerance::ToleranceFrom;
use crate::api::exercises::topic_name::TopicName;
use crate::api::exercises::{HAZARDS, LEVEL, SEED, TOPIC_VERSION, VERSION, same_version};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::{Answer, Basis, WorkingStep};
use crate::api::solutions::Solutions;
use crate::maths::range::Range;

/// Values that a student may give.
const VALUE: Range = Range::new("answer", -1e12, 1e12, "1");

/// An exercise and a student's answers to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MarkingRequest {
    /// Topic of the exercise.
    pub topic: TopicName,
    /// Its level; 1 when it is left out.
    pub level: Option<u8>,
    /// Its seed.
    pub seed: u64,
    /// Version of the topics that the exercise was made with; refused when the service has another.
    pub topic_version: Option<u16>,
    /// The answers, in any order; a step without one gets no marks.
    #[validate(length(max = 26), nested)]
    #[schema(max_items = 26)]
    pub answers: Vec<StepAnswer>,
}

/// An answer to one step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StepAnswer {
    /// Name of the step, as the exercise has it.
    #[validate(length(max = 120))]
    #[schema(max_length = 120)]
    pub step: String,
    /// The number found.
    #[schema(extensions(("x-unit" = json!("as `unit` says"))))]
    pub value: f64,
    /// Its unit; the one asked for when it is left out.
    #[validate(length(max = 40))]
    #[schema(max_length = 40)]
    pub unit: Option<String>,
}

/// Marks, step by step.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MarkingResponse {
    /// Topic of the exercise.
    pub topic: String,
    /// Its level.
    pub level: u8,
    /// Its seed.
    pub seed: u64,
    /// Version of the topics.
    pub topic_version: u16,
    /// Each step that was asked for, in order.
    pub steps: Vec<MarkedStep>,
    /// Marks given.
    pub marks: u32,
    /// Marks of an exercise without mistakes.
    pub marks_possible: u32,
    /// Whether the solution is in the answer, and why.
    pub solutions: Solutions,
    /// The worked solution, every step of it; left out when it is withheld.
    pub solution: Option<Vec<WorkingStep>>,
}

/// How one step was done.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MarkedStep {
    /// Name of the step.
    pub step: String,
    /// What it is called in the question.
    pub words: String,
    /// Marks given: all of them when nothing is wrong, half for a right quantity in another unit,
    /// for one rounded too early, and for what follows rightly from a mistake that was counted before.
    pub marks: u32,
    /// Marks possible.
    pub marks_possible: u32,
    /// Whether it is right.
    pub is_right: bool,
    /// What went wrong, where it can be told.
    pub diagnosis: Option<DiagnosisCode>,
    /// The same in a sentence.
    pub detail: Option<String>,
    /// Whether it follows from a mistake that was counted before.
    pub carried_forward: Option<bool>,
    /// How far the answer may be from the value.
    #[schema(extensions(("x-unit" = json!("as the exercise asks"))))]
    pub tolerance: f64,
    /// What the tolerance follows from.
    pub tolerance_from: ToleranceFrom,
    /// The value, not rounded; left out when solutions are withheld.
    #[schema(extensions(("x-unit" = json!("as the exercise asks"))))]
    pub expected: Option<f64>,
}

/// The `exercises/marking` calculation.
#[derive(Debug)]
pub struct ExercisesMarking;

impl Calculation for ExercisesMarking {
    const NAME: &'static str = "exercises/marking";
    const SUMMARY: &'static str = "Marks for the answers to an exercise, and what went wrong";
    const DESCRIPTION: &'static str = "Each step is held against the workings of the topic's own calculation. An answer is right \
        within half a unit of the last significant figure asked for or, where the value has a standard uncertainty, of that \
        uncertainty's first figure, whichever is more. What went wrong is told by asking the calculation in the usual wrong \
        ways and comparing; a right value in another unit or rounded on the way, and what follows from a wrong way counted \
        before, get half of the marks. The worked solution and the values are in the answer when the service has no teacher's key, or \
        when `x-teacher-key` is that key; `solutions` says which. Without answers, a teacher gets the solution.";
    const TAG: Tag = Tag::Course;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = HAZARDS;
    const BOUNDS: &'static [Bound] = &[
        Bound::new("level", LEVEL),
        Bound::new("seed", SEED),
        Bound::new("topic_version", VERSION),
        Bound::new("value", VALUE),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("marks", 0),
        Headline::new("marks_possible", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "exercises/marking",
            "lab-swapped-masses",
            "Dose and beverage exchanged: the mistake is told, and counted once"
        ),
        example!(
            "exercises/marking",
            "lab-no-answers",
            "No answers yet: the solution alone"
        ),
    ];
    const HAS_SOLUTIONS: bool = true;

    type Request = MarkingRequest;
    type Response = MarkingResponse;

    fn answer(
        request: &MarkingRequest,
        call: &Call<'_>,
    ) -> Result<Answer<MarkingResponse>, Problem> {
        same_version(request.topic_version)?;
        let wanted = Wanted {
            topic: request.topic.0,
            level: request.level.unwrap_or(1),
            seed: request.seed,
        };
        let exercise = Exercise::of(wanted, call)?;
        let given = placed(&exercise.asked, &request.answers)?;
        let is_shown = call.solutions().are_shown();
        let steps: Vec<_> = judged(&exercise, &given, call)
            .iter()
            .zip(&exercise.asked)
            .map(|(judged, asked)| marked(asked, judged, is_shown))
            .collect();
        let response = MarkingResponse {
            topic: wanted.topic.name.to_owned(),
            level: wanted.level,
            seed: wanted.seed,
            topic_version: TOPIC_VERSION,
            marks: steps.iter().map(|step| step.marks).sum(),
            marks_possible: steps.iter().map(|step| step.marks_possible).sum(),
            steps,
            solutions: call.solutions(),
            solution: is_shown.then_some(exercise.solution),
        };
        let mut answer = Answer::of::<Self>(response, &["practice", "splitmix2014", "jcgm2008"]);
        answer.provenance.cautions = exercise
            .hazards
            .iter()
            .copied()
            .map(Caution::from)
            .collect();
        let sources = &mut answer.provenance.sources;
        for source in exercise.sources {
            if !sources.iter().any(|known| *known == source) {
                sources.push(Cow::Owned(source));
            }
        }
        Ok(answer)
    }
}

/// The answer to each step asked; an answer to no step, or a second one, is a fault.
fn placed<'a>(
    asked: &[Asked],
    answers: &'a [StepAnswer],
) -> Result<Vec<Option<Given<'a>>>, Problem> {
    let mut given: Vec<Option<Given<'a>>> = vec![None; asked.len()];
    let mut faults = Vec::new();
    for (answer, place) in answers.iter().zip(0..) {
        let pointer = format!("/answers/{place}/step");
        let step = asked.iter().position(|asked| asked.step == answer.step);
        match step.and_then(|step| given.get_mut(step)) {
            None => {
                let names: Vec<_> = asked
                    .iter()
                    .map(|asked| format!("`{}`", asked.step))
                    .collect();
                let detail = format!("the exercise asks for {}", names.join(", "));
                faults.push(Fault::new(pointer, FaultCode::Inconsistent, detail));
            }
            Some(Some(_)) => {
                let detail = "an earlier answer is to the same step";
                faults.push(Fault::new(pointer, FaultCode::Contradictory, detail));
            }
            Some(free) => {
                *free = Some(Given {
                    value: answer.value,
                    unit: answer.unit.as_deref(),
                });
            }
        }
    }
    if faults.is_empty() {
        Ok(given)
    } else {
        Err(Problem::invalid(faults))
    }
}

fn marked(asked: &Asked, judged: &Judged, is_shown: bool) -> MarkedStep {
    MarkedStep {
        step: asked.step.clone(),
        words: asked.words.to_owned(),
        marks: judged.marks,
        marks_possible: MARKS_PER_STEP,
        is_right: judged.diagnosis.is_none(),
        diagnosis: judged.diagnosis,
        detail: judged.diagnosis.map(|code| code.text().to_owned()),
        carried_forward: judged.is_carried_forward.then_some(true),
        tolerance: judged.tolerance.half_width,
        tolerance_from: judged.tolerance.from,
        expected: is_shown.then_some(asked.value),
    }
}
