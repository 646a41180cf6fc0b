//! `exercises`: a question with its data, drawn from a seed.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::exercises::drawn::Datum;
use crate::api::exercises::exercise::{Exercise, Wanted};
use crate::api::exercises::response::{AskedRequest, AskedStep, ExerciseText};
use crate::api::exercises::topic_name::TopicName;
use crate::api::exercises::{HAZARDS, LEVEL, SEED, TOPIC_VERSION, VERSION, same_version};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};

/// A topic, how hard the exercise is to be, and the seed of its numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ExercisesRequest {
    /// What the exercise is about.
    pub topic: TopicName,
    /// How hard it is, from 1, the default, to 3.
    pub level: Option<u8>,
    /// Where the numbers come from: the same seed gives the same exercise.
    pub seed: u64,
    /// Version of the topics that the seed was used with; refused when the service has another.
    pub topic_version: Option<u16>,
}

/// The exercise as it is handed out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ExercisesResponse {
    /// Topic, which is the calculation that answers it.
    pub topic: String,
    /// How hard it is.
    pub level: u8,
    /// The seed, which is the exercise.
    pub seed: u64,
    /// Version of the topics: the same version and seed give the same exercise.
    pub topic_version: u16,
    /// The question in words.
    pub question: String,
    /// What is given.
    pub data: Vec<Datum>,
    /// What the topic's calculation would be asked.
    pub request: AskedRequest,
    /// The steps whose values are wanted, in order.
    pub asked: Vec<AskedStep>,
    /// Marks of all steps together.
    pub marks: u32,
}

/// The `exercises` calculation.
#[derive(Debug)]
pub struct Exercises;

impl Calculation for Exercises {
    const NAME: &'static str = "exercises";
    const SUMMARY: &'static str = "An exercise of a lab course, drawn from a seed";
    const DESCRIPTION: &'static str = "A question in words, with data drawn as they occur in practice, and the steps whose \
        values are wanted, with unit and significant figures. Nothing is stored: topic, level and seed are the exercise, on \
        any machine, as long as `topic_version` is the same. No value stands on the edge between two roundings, so that tables \
        of another school lead to the same figures. `exercises/marking` marks the answers, `exercises/sheet` makes \
        many at once. The topics are the calculations that show their workings, but for heavy ones. The data are invented. \
        The service answers the topic's own calculation to anybody: an exercise is for learning, no examination.";
    const TAG: Tag = Tag::Course;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = HAZARDS;
    const BOUNDS: &'static [Bound] = &[
        Bound::new("level", LEVEL),
        Bound::new("seed", SEED),
        Bound::new("topic_version", VERSION),
    ];
    const HEADLINES: &'static [Headline] =
        &[Headline::new("question", 0), Headline::new("marks", 0)];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "exercises",
            "lab-yield",
            "The yield of an espresso, at the first level"
        ),
        example!(
            "exercises",
            "lab-boiling",
            "Boiling at a mountain station, at the second level"
        ),
        example!(
            "exercises",
            "lab-fractions",
            "A shot caught in three slices, at the second level"
        ),
    ];

    type Request = ExercisesRequest;
    type Response = ExercisesResponse;

    fn answer(
        request: &ExercisesRequest,
        call: &Call<'_>,
    ) -> Result<Answer<ExercisesResponse>, Problem> {
        same_version(request.topic_version)?;
        let wanted = Wanted {
            topic: request.topic.0,
            level: request.level.unwrap_or(1),
            seed: request.seed,
        };
        let exercise = Exercise::of(wanted, call)?;
        let hazards = exercise
            .hazards
            .iter()
            .copied()
            .map(Caution::from)
            .collect();
        let ExerciseText {
            topic,
            level,
            seed,
            question,
            data,
            request,
            asked,
            marks,
        } = exercise.text();
        let response = ExercisesResponse {
            topic,
            level,
            seed,
            topic_version: TOPIC_VERSION,
            question,
            data,
            request,
            asked,
            marks,
        };
        Ok(Answer::of::<Self>(response, &["practice", "splitmix2014"]).with_cautions(hazards))
    }
}
