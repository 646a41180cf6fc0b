//! `exercises/sheet`: every student's own exercises at once, and the marking key.

use std::time::Duration;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::exercises::exercise::{Exercise, Wanted};
use crate::api::exercises::generator::Draws;
use crate::api::exercises::response::{ExerciseText, KeyLine};
use crate::api::exercises::topic_name::TopicName;
use crate::api::exercises::{
    HAZARDS, LEVEL, SEED, TOPIC_VERSION, VERSION, print, same_version, table,
};
use crate::api::own_form::OwnForm;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::reserved::Format;
use crate::api::solutions::Solutions;
use crate::maths::range::Range;

/// Students of a sheet.
const STUDENTS: Range = Range::new("students", 1.0, 200.0, "1");
/// Most exercises of a sheet: 200 students with four topics.
const MOST_EXERCISES: u64 = 800;

/// Topics, level, seed and number of students.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetRequest {
    /// Topics: each student gets one exercise of each, in this order.
    #[validate(length(min = 1, max = 4))]
    #[schema(min_items = 1, max_items = 4)]
    pub topics: Vec<TopicName>,
    /// How hard they are, from 1, the default, to 3.
    pub level: Option<u8>,
    /// Where all numbers come from; each student's exercises get seeds of their own out of it.
    pub seed: u64,
    /// Version of the topics that the seed was used with; refused when the service has another.
    pub topic_version: Option<u16>,
    /// Number of students.
    pub students: u32,
    /// What stands above each page.
    #[validate(length(max = 120))]
    #[schema(max_length = 120)]
    pub title: Option<String>,
}

/// The exercises of all students.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SheetResponse {
    /// What stands above each page.
    pub title: Option<String>,
    /// The seed of the whole sheet.
    pub seed: u64,
    /// Version of the topics: the same version and seed give the same sheet.
    pub topic_version: u16,
    /// The students, in order.
    pub students: Vec<StudentSheet>,
    /// Whether the marking key is in the answer, and why.
    pub solutions: Solutions,
    /// The marking key, a line for each step of each student; left out when it is withheld.
    pub key: Option<Vec<KeyLine>>,
}

/// The exercises of one student.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StudentSheet {
    /// Number of the student, from 1.
    #[schema(minimum = 1)]
    pub student: u32,
    /// One exercise of each topic.
    pub exercises: Vec<ExerciseText>,
}

/// The `exercises/sheet` calculation.
#[derive(Debug)]
pub struct ExercisesSheet;

impl Calculation for ExercisesSheet {
    const NAME: &'static str = "exercises/sheet";
    const SUMMARY: &'static str = "Exercises for a whole class, with a marking key";
    const DESCRIPTION: &'static str = "Each of 1 to 200 students gets the same topics with numbers of their own; the seed of each \
        exercise stands beside it, and `exercises/marking` marks it by that. As JSON, as CSV (`format=csv`: a row for each step), \
        or as a page to be printed (`format=html`, or `Accept: text/html`): a sheet of paper for each student, and the marking \
        key on its own. The key is in the answer when the service has no teacher's key, or when `x-teacher-key` is that key.";
    const TAG: Tag = Tag::Course;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = HAZARDS;
    const BOUNDS: &'static [Bound] = &[
        Bound::new("level", LEVEL),
        Bound::new("seed", SEED),
        Bound::new("topic_version", VERSION),
        Bound::new("students", STUDENTS),
    ];
    const HEADLINES: &'static [Headline] = &[Headline::new("topic_version", 0)];
    const EXAMPLES: &'static [Example] = &[example!(
        "exercises/sheet",
        "lab-three-students",
        "Three students, two topics"
    )];
    const WEIGHT: Weight = Weight::Heavy;
    const BUDGET: u64 = MOST_EXERCISES;
    const DEADLINE: Duration = Duration::from_secs(10);
    const OWN_FORMS: &'static [OwnForm] = &[
        OwnForm {
            format: Format::Csv,
            media_type: "text/csv",
            write: table::of,
        },
        OwnForm {
            format: Format::Html,
            media_type: "text/html",
            write: print::of,
        },
    ];
    const HAS_SOLUTIONS: bool = true;

    type Request = SheetRequest;
    type Response = SheetResponse;

    fn cost(request: &SheetRequest) -> u64 {
        let topics = u64::try_from(request.topics.len()).unwrap_or(u64::MAX);
        topics.saturating_mul(u64::from(request.students))
    }

    fn answer(request: &SheetRequest, call: &Call<'_>) -> Result<Answer<SheetResponse>, Problem> {
        same_version(request.topic_version)?;
        let is_shown = call.solutions().are_shown();
        let (mut students, mut key) = (Vec::new(), Vec::new());
        let mut hazards: Vec<Caution> = Vec::new();
        for student in 1..=request.students {
            let mut exercises = Vec::with_capacity(request.topics.len());
            for (topic, place) in request.topics.iter().zip(0_u64..) {
                let wanted = Wanted {
                    topic: topic.0,
                    level: request.level.unwrap_or(1),
                    seed: Draws::of(request.seed, "sheet", &[u64::from(student), place]).seed(),
                };
                let exercise = Exercise::of(wanted, call)?;
                if is_shown {
                    key.extend(exercise.key(student));
                }
                for code in &exercise.hazards {
                    if !hazards.iter().any(|known| known.code == *code) {
                        hazards.push((*code).into());
                    }
                }
                exercises.push(exercise.text());
            }
            students.push(StudentSheet { student, exercises });
        }
        let response = SheetResponse {
            title: request.title.clone(),
            seed: request.seed,
            topic_version: TOPIC_VERSION,
            students,
            solutions: call.solutions(),
            key: is_shown.then_some(key),
        };
        Ok(
            Answer::of::<Self>(response, &["practice", "splitmix2014", "jcgm2008"])
                .with_cautions(hazards),
        )
    }
}
