//! The one seam: what a calculation is.

use std::time::Duration;

use serde::Serialize;
use serde::de::DeserializeOwned;
use utoipa::ToSchema;
use validator::Validate;

use super::bounds::Bound;
use super::caution::CautionCode;
use super::columnar::Columnar;
use super::own_form::OwnForm;
use super::problem::{Problem, ProblemCode};
use super::provenance::{Answer, Basis};
use super::rule::Rule;
use super::solutions::Solutions;
use super::threads::{Lend, Lent};

/// A calculation: its name, its request, its answer, and how one follows from the other.
///
/// Routes, the document, query, CSV and batch forms, the replay and the contract tests are all
/// derived from what stands here.
pub trait Calculation: 'static {
    /// What follows `/v1/` in the path, and the name in a batch: kebab-case. A calculation that
    /// belongs to another one stands below it, after a slash.
    const NAME: &'static str;
    /// One line for lists, without a full stop.
    const SUMMARY: &'static str;
    /// What it computes, from what, and where it holds; Markdown.
    const DESCRIPTION: &'static str;
    /// Group in the document.
    const TAG: Tag;
    /// What kind of truth the answer is.
    const BASIS: Basis;
    /// What an answer may tell the caller to mind; `GET /v1/cautions` has the texts.
    const CAUTIONS: &'static [CautionCode] = &[];
    /// Range of every number of the request, by field name.
    const BOUNDS: &'static [Bound];
    /// Which fields must, or may not, be given together.
    const RULES: &'static [Rule] = &[];
    /// The outputs a person looks at first.
    const HEADLINES: &'static [Headline];
    /// Request bodies that stand in the document and are executed as tests; the first one leads.
    const EXAMPLES: &'static [Example];
    /// Whether a call is worked on the async threads or on the compute pool.
    const WEIGHT: Weight = Weight::Light;
    /// Most work of one call in cost units; published, and more is refused before it begins.
    const BUDGET: u64 = 100_000;
    /// Time in which a heavy call must be answered; a sweep may take longer than one run.
    const DEADLINE: Duration = Duration::from_secs(2);
    /// Largest JSON body in bytes, where the data needs another limit than the service's own.
    const BODY_LIMIT: Option<usize> = None;
    /// Which columns `text/csv` has, where the request is one long series.
    const COLUMNAR: Option<Columnar> = None;
    /// Forms of the answer that the calculation writes itself.
    const OWN_FORMS: &'static [OwnForm] = &[];
    /// Whether the answer holds solutions, which a teacher's key may guard; then it is neither flat
    /// nor heavy by its request, since no key belongs into an address or a table.
    const HAS_SOLUTIONS: bool = false;

    /// What the caller sends.
    type Request: DeserializeOwned + Serialize + Validate + ToSchema + Send + 'static;
    /// What the caller gets, besides provenance.
    type Response: Serialize + ToSchema;

    /// Work of the call in cost units, where one unit is one light call.
    ///
    /// Known from the request alone, so that more than [`Self::BUDGET`] is refused before
    /// anything is computed.
    fn cost(_request: &Self::Request) -> u64 {
        1
    }

    /// Whether this request is worked on the compute pool, where [`Self::WEIGHT`] leaves that
    /// to the request.
    fn is_heavy(_request: &Self::Request) -> bool {
        false
    }

    /// The answer to a request whose fields are inside [`Self::BOUNDS`] and keep
    /// [`Self::RULES`].
    ///
    /// # Errors
    /// A [`Problem`] that names every fault that the bounds and rules cannot express.
    fn answer(request: &Self::Request, call: &Call<'_>) -> Result<Answer<Self::Response>, Problem>;
}

/// What a calculation may ask of the call that it works for.
#[derive(Clone, Copy)]
pub struct Call<'a> {
    cancelled: &'a (dyn Fn() -> bool + Sync),
    lend: &'a Lend<'a>,
    solutions: Solutions,
    is_light: bool,
}

impl<'a> Call<'a> {
    /// A call that ends early once `cancelled` says so, and sees no solutions.
    #[must_use]
    pub fn new(cancelled: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Self {
            cancelled,
            lend: &Lent::default,
            solutions: Solutions::Withheld,
            is_light: false,
        }
    }

    /// The same call by somebody who may see solutions, or may not.
    #[must_use]
    pub const fn seeing(self, solutions: Solutions) -> Self {
        Self { solutions, ..self }
    }

    /// Whether the caller may see solutions.
    #[must_use]
    pub const fn solutions(&self) -> Solutions {
        self.solutions
    }

    /// The same call with threads that may be lent to it.
    #[must_use]
    pub fn lending(self, lend: &'a Lend<'a>) -> Self {
        Self { lend, ..self }
    }

    /// What lends threads to the call: those that are idle, or none.
    pub fn lender(&self) -> &'a Lend<'a> {
        self.lend
    }

    /// The same on a thread, or in a row of many, where no heavy request may be worked.
    #[must_use]
    pub const fn for_light_work(self) -> Self {
        Self {
            is_light: true,
            ..self
        }
    }

    /// Whether heavy requests are refused here.
    #[must_use]
    pub const fn is_for_light_work(&self) -> bool {
        self.is_light
    }

    /// Whether the caller has gone or the deadline has passed; long work asks now and then.
    #[must_use]
    pub fn is_cancelled(&self) -> bool {
        (self.cancelled)()
    }

    /// Goes on, unless the call was cancelled.
    ///
    /// # Errors
    /// `deadline_exceeded` when it was.
    pub fn go_on(&self) -> Result<(), Problem> {
        if self.is_cancelled() {
            return Err(Problem::new(
                ProblemCode::DeadlineExceeded,
                "the calculation was stopped at its deadline",
            ));
        }
        Ok(())
    }
}

impl std::fmt::Debug for Call<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Call").finish_non_exhaustive()
    }
}

/// A call that is never cancelled, by somebody from whom nothing is kept: no server is asked.
pub const UNCANCELLED: Call<'static> = Call {
    cancelled: &|| false,
    lend: &Lent::default,
    solutions: Solutions::Open,
    is_light: false,
};

/// A call on a thread that serves others too: what is heavy by its request is refused.
pub const LIGHT: Call<'static> = UNCANCELLED.for_light_work();

/// Group of calculations in the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tag {
    /// Doses, ratios, baskets.
    Recipe,
    /// Strength, yield and their uncertainty.
    Measurement,
    /// Temperature and pressure of water and steam.
    Water,
    /// Shots: their readings, their physics, and what to change next.
    Shot,
    /// Exercises for a school.
    Course,
}

impl Tag {
    /// All groups, in the order of the document.
    pub const ALL: [Self; 5] = [
        Self::Recipe,
        Self::Measurement,
        Self::Water,
        Self::Shot,
        Self::Course,
    ];

    /// The name in the document.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Recipe => "recipe",
            Self::Measurement => "measurement",
            Self::Water => "water",
            Self::Shot => "shot",
            Self::Course => "course",
        }
    }

    /// What belongs to the group.
    #[must_use]
    pub const fn description(self) -> &'static str {
        match self {
            Self::Recipe => "Doses, ratios and baskets: what to weigh out.",
            Self::Measurement => "Strength and yield of a cup, with their uncertainty.",
            Self::Water => "Air pressure, boiling and brew water.",
            Self::Shot => {
                "Shots: their readings, their physics by a model, and what to change next."
            }
            Self::Course => "Exercises for a lab course, their marking and sheets of them.",
        }
    }
}

/// Where the work of a call is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Microseconds: on the thread that read the request.
    Light,
    /// Light, but for requests that ask for more ([`Calculation::is_heavy`]): those go to the
    /// compute pool, and are not answered by rows.
    ByRequest,
    /// Longer: on the compute pool, with a permit and a deadline.
    Heavy,
}

/// A request body from `demo-data/`.
#[derive(Debug, Clone, Copy)]
pub struct Example {
    /// Name of the file without its ending; unique in the calculation.
    pub name: &'static str,
    /// What it shows, in one line.
    pub summary: &'static str,
    /// The JSON text.
    pub body: &'static str,
}

/// An output worth showing alone, and how a person reads it.
#[derive(Debug, Clone, Copy)]
pub struct Headline {
    /// Path of the output in the answer, with dots: `uncertainty.expanded_points`.
    pub path: &'static str,
    /// Decimals shown to a person.
    pub decimals: usize,
}

impl Headline {
    /// An output shown with so many decimals.
    #[must_use]
    pub const fn new(path: &'static str, decimals: usize) -> Self {
        Self { path, decimals }
    }
}

/// An [`Example`] from a file of `demo-data/`, by calculation and name.
macro_rules! example {
    ($calculation:literal, $name:literal, $summary:literal) => {
        crate::api::calculation::Example {
            name: $name,
            summary: $summary,
            body: include_str!(concat!(
                "../../../demo-data/",
                $calculation,
                "/",
                $name,
                ".json"
            )),
        }
    };
}
pub(crate) use example;
