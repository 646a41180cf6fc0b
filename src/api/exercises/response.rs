//! An exercise as it is handed out, and its line in a marking key.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::openapi::schema::{ObjectBuilder, Type};
use utoipa::openapi::{RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

use super::drawn::Datum;
use super::exercise::{Asked, Exercise, MARKS_PER_STEP};

/// An exercise as it is handed out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ExerciseText {
    /// Topic, which is the calculation that answers it.
    pub topic: String,
    /// How hard it is.
    #[schema(minimum = 1, maximum = 3)]
    pub level: u8,
    /// The seed, which is the exercise.
    #[schema(minimum = 0, maximum = 9_007_199_254_740_991_u64)]
    pub seed: u64,
    /// The question in words.
    pub question: String,
    /// What is given.
    pub data: Vec<Datum>,
    /// What the calculation would be asked.
    pub request: AskedRequest,
    /// The steps whose values are wanted, in order.
    pub asked: Vec<AskedStep>,
    /// Marks of all steps together.
    #[schema(minimum = 0)]
    pub marks: u32,
}

/// A request of the topic's calculation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct AskedRequest(pub Value);

impl PartialSchema for AskedRequest {
    fn schema() -> RefOr<Schema> {
        ObjectBuilder::new()
            .schema_type(Type::Object)
            .description(Some(
                "A request of the topic's calculation: see its own schema.",
            ))
            .into()
    }
}

impl ToSchema for AskedRequest {}

/// A step whose value is wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct AskedStep {
    /// Name of the step, by which it is answered.
    pub step: String,
    /// What it is called in the question.
    pub words: String,
    /// Unit wanted; `1` for a pure number.
    pub unit: String,
    /// Significant figures wanted.
    #[schema(minimum = 1)]
    pub significant_figures: u8,
    /// Marks for it.
    #[schema(minimum = 0)]
    pub marks: u32,
}

/// What a step's answer should be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct KeyLine {
    /// Number of the student on the sheet, from 1.
    #[schema(minimum = 1)]
    pub student: u32,
    /// Topic of the exercise.
    pub topic: String,
    /// Name of the step.
    pub step: String,
    /// What it is called in the question.
    pub words: String,
    /// Its value, not rounded.
    #[schema(extensions(("x-unit" = json!("as `unit` says"))))]
    pub value: f64,
    /// Unit of the value.
    pub unit: String,
    /// Significant figures wanted.
    #[schema(minimum = 1)]
    pub significant_figures: u8,
    /// How far an answer may be from the value.
    #[schema(extensions(("x-unit" = json!("as `unit` says"))))]
    pub tolerance: f64,
}

impl Exercise {
    /// The exercise as it is handed out.
    #[must_use]
    pub fn text(&self) -> ExerciseText {
        let asked: Vec<_> = self.asked.iter().map(Asked::handed_out).collect();
        ExerciseText {
            topic: self.wanted.topic.name.to_owned(),
            level: self.wanted.level,
            seed: self.wanted.seed,
            question: self.question.clone(),
            data: self.data.clone(),
            request: AskedRequest(self.request.clone()),
            marks: asked.iter().map(|step| step.marks).sum(),
            asked,
        }
    }

    /// The lines of a marking key.
    pub fn key(&self, student: u32) -> impl Iterator<Item = KeyLine> + '_ {
        self.asked.iter().map(move |asked| KeyLine {
            student,
            topic: self.wanted.topic.name.to_owned(),
            step: asked.step.clone(),
            words: asked.words.to_owned(),
            value: asked.value,
            unit: asked.unit.clone(),
            significant_figures: asked.figures,
            tolerance: asked.tolerance().half_width,
        })
    }
}

impl Asked {
    fn handed_out(&self) -> AskedStep {
        AskedStep {
            step: self.step.clone(),
            words: self.words.to_owned(),
            unit: self.unit.clone(),
            significant_figures: self.figures,
            marks: MARKS_PER_STEP,
        }
    }
}
