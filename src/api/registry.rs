//! The one list of calculations. Routes, the document, every other form of call and the
//! contract tests are derived from it; the server knows no calculation by name.

use std::sync::OnceLock;
use std::time::Duration;

use serde_json::Value;

pub use super::answering::Out;
use super::answering::{self, AnswerCells, AnswerFields, AnswerJson};
use super::bounds::Bound;
use super::calculation::{Calculation, Call, Example, Headline, Tag, UNCANCELLED, Weight};
use super::caution::CautionCode;
use super::columnar::Columnar;
use super::decode::Fields;
use super::limits;
use super::own_form::OwnForm;
use super::problem::Problem;
use super::provenance::{Basis, Provenance};
use super::rows::columns::Columns;
use super::rows::{Sink, Source};
use super::rule::Rule;
use super::schemas::Schemas;
use super::shape::{Plan, Shape, patch_bounds};
pub use super::weighing::Prepared;
use super::weighing::{self, Begin, Prepare, Weigh};

/// All calculations of the service, in the order of the document.
pub use super::calculations::REGISTRY;

/// A calculation with its types erased into functions.
#[derive(Debug)]
pub struct Entry {
    /// See [`Calculation::NAME`].
    pub name: &'static str,
    /// See [`Calculation::SUMMARY`].
    pub summary: &'static str,
    /// See [`Calculation::DESCRIPTION`].
    pub description: &'static str,
    /// See [`Calculation::TAG`].
    pub tag: Tag,
    /// See [`Calculation::BASIS`].
    pub basis: Basis,
    /// See [`Calculation::CAUTIONS`].
    pub cautions: &'static [CautionCode],
    /// See [`Calculation::BOUNDS`].
    pub bounds: &'static [Bound],
    /// See [`Calculation::RULES`].
    pub rules: &'static [Rule],
    /// See [`Calculation::HEADLINES`].
    pub headlines: &'static [Headline],
    /// See [`Calculation::EXAMPLES`].
    pub examples: &'static [Example],
    /// See [`Calculation::WEIGHT`].
    pub weight: Weight,
    /// See [`Calculation::BUDGET`].
    pub budget: u64,
    /// See [`Calculation::DEADLINE`].
    pub deadline: Duration,
    /// See [`Calculation::BODY_LIMIT`].
    pub body_limit: Option<usize>,
    /// See [`Calculation::COLUMNAR`].
    pub columnar: Option<Columnar>,
    /// See [`Calculation::OWN_FORMS`].
    pub own_forms: &'static [OwnForm],
    /// See [`Calculation::HAS_SOLUTIONS`].
    pub has_solutions: bool,
    request_schema: fn() -> Schemas,
    response_schema: fn() -> Schemas,
    answer: AnswerJson,
    answer_fields: AnswerFields,
    answer_cells: AnswerCells,
    request_columns: OnceLock<Columns>,
    answer_columns: OnceLock<Columns>,
    prepare: Prepare,
    begin: Begin,
    weigh: Weigh,
    plan: OnceLock<Plan>,
    answer_shape: OnceLock<Shape>,
    example_answers: OnceLock<Vec<Value>>,
    path: OnceLock<String>,
}

impl Entry {
    /// The entry of a calculation.
    #[must_use]
    pub const fn of<C: Calculation>() -> Self {
        Self {
            name: C::NAME,
            summary: C::SUMMARY,
            description: C::DESCRIPTION,
            tag: C::TAG,
            basis: C::BASIS,
            cautions: C::CAUTIONS,
            bounds: C::BOUNDS,
            rules: C::RULES,
            headlines: C::HEADLINES,
            examples: C::EXAMPLES,
            weight: C::WEIGHT,
            budget: C::BUDGET,
            deadline: C::DEADLINE,
            body_limit: C::BODY_LIMIT,
            columnar: C::COLUMNAR,
            own_forms: C::OWN_FORMS,
            has_solutions: C::HAS_SOLUTIONS,
            request_schema: Schemas::of::<C::Request>,
            response_schema: Schemas::of::<C::Response>,
            answer: answering::json::<C>,
            answer_fields: answering::fields::<C>,
            answer_cells: answering::cells::<C>,
            request_columns: OnceLock::new(),
            answer_columns: OnceLock::new(),
            prepare: weighing::prepare::<C>,
            begin: weighing::begin::<C>,
            weigh: weighing::is_heavy::<C>,
            plan: OnceLock::new(),
            answer_shape: OnceLock::new(),
            example_answers: OnceLock::new(),
            path: OnceLock::new(),
        }
    }

    /// Path of the calculation.
    pub fn path(&self) -> &str {
        self.path.get_or_init(|| format!("/v1/{}", self.name))
    }

    /// Appends the JSON answer to a JSON request.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead; `out` is then as it was.
    pub fn answer(&self, body: &[u8], call: &Call<'_>, out: &mut Vec<u8>) -> Result<(), Problem> {
        (self.answer)(
            body,
            self.plan(),
            call,
            Out {
                answer: out,
                address: None,
            },
        )
    }

    /// Appends the JSON answer to a request given in fields: the same as to its JSON.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead; `out` is then as it was.
    pub fn answer_fields(
        &self,
        fields: Fields<'_>,
        call: &Call<'_>,
        out: &mut Vec<u8>,
    ) -> Result<(), Problem> {
        (self.answer_fields)(fields, self.plan(), call, out)
    }

    /// Puts the answer to a request into the cells of a row.
    pub(crate) fn answer_cells(
        &self,
        source: Source<'_>,
        call: &Call<'_>,
        sink: Sink<'_>,
    ) -> Result<(), Problem> {
        (self.answer_cells)(source, self.plan(), call, sink)
    }

    /// The columns of a request by rows.
    pub fn request_columns(&self) -> &Columns {
        self.request_columns
            .get_or_init(|| Columns::of_request(self.shape()))
    }

    /// The columns of an answer by rows.
    pub fn answer_columns(&self) -> &Columns {
        self.answer_columns.get_or_init(|| {
            let schemas = self.response_schema();
            Columns::of_answer(&Shape::compile(&schemas.root, &schemas.components))
        })
    }

    /// Appends the JSON answer to a JSON request and, where the request is flat, the address
    /// that asks for the same.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead; the answer is then as it was.
    pub fn answer_located(
        &self,
        body: &[u8],
        call: &Call<'_>,
        mut out: Out<'_>,
    ) -> Result<(), Problem> {
        self.begin_address(&mut out);
        (self.answer)(body, self.plan(), call, out)
    }

    /// Writes the part of an address that does not depend on the request.
    pub(super) fn begin_address(&self, out: &mut Out<'_>) {
        if let Some(address) = &mut out.address {
            address.push_str(self.path());
            address.push('?');
        }
    }

    /// The request, read and found right and affordable; nothing is computed yet.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead.
    pub fn prepare(&self, body: &[u8]) -> Result<Prepared, Problem> {
        (self.prepare)(body, self.plan())
    }

    /// Appends the JSON answer to a light request, and its address where that is wanted; a heavy
    /// one comes back to be answered on another thread.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead; the answer is then as it was.
    pub fn begin(
        &'static self,
        source: Source<'_>,
        out: Out<'_>,
    ) -> Result<Option<Prepared>, Problem> {
        (self.begin)(source, self, out)
    }

    /// Whether a request is heavy; one that cannot be read is not.
    #[must_use]
    pub fn is_heavy(&self, source: Source<'_>) -> bool {
        match self.weight {
            Weight::Light => false,
            Weight::ByRequest => (self.weigh)(source, self.plan()),
            Weight::Heavy => true,
        }
    }

    /// The published schema of the request, bounds and limits included.
    #[must_use]
    pub fn request_schema(&self) -> Schemas {
        let mut schemas = (self.request_schema)();
        patch_bounds(&mut schemas.root, self.bounds);
        limits::patch(&mut schemas.root);
        for (_, component) in &mut schemas.components {
            patch_bounds(component, self.bounds);
            limits::patch(component);
        }
        schemas
    }

    /// The published schema of the result, without provenance.
    #[must_use]
    pub fn response_schema(&self) -> Schemas {
        (self.response_schema)()
    }

    /// The shape that requests are judged against.
    #[must_use]
    pub fn shape(&self) -> &Shape {
        &self.plan().shape
    }

    /// The shape of answers, result and provenance in one object.
    pub fn answer_shape(&self) -> &Shape {
        self.answer_shape.get_or_init(|| {
            let (result, provenance) = (self.response_schema(), Schemas::of::<Provenance>());
            let mut fields = Vec::new();
            for schemas in [result, provenance] {
                match Shape::compile(&schemas.root, &schemas.components) {
                    Shape::Object(more) => fields.extend(more),
                    Shape::Number(_) | Shape::Text { .. } | Shape::Flag | Shape::List { .. } => {}
                }
            }
            Shape::Object(fields)
        })
    }

    /// The answers to the examples, worked once: the document and the pages show the same. One
    /// that is refused has its problem document here.
    pub fn example_answers(&self) -> &[Value] {
        self.example_answers.get_or_init(|| {
            let bodies = self.examples.iter().map(|example| example.body.as_bytes());
            bodies.map(|body| self.shown_answer(body)).collect()
        })
    }

    fn shown_answer(&self, body: &[u8]) -> Value {
        let mut out = Vec::new();
        match self.answer(body, &UNCANCELLED, &mut out) {
            Ok(()) => serde_json::from_slice(&out).unwrap_or_default(),
            Err(problem) => serde_json::json!(problem.document("example")),
        }
    }

    /// Whether a request fits a query or a row: flat, and not always heavy, since rows are many.
    #[must_use]
    pub fn is_flat(&self) -> bool {
        self.weight != Weight::Heavy && self.plan().is_flat
    }

    pub(super) fn plan(&self) -> &Plan {
        self.plan.get_or_init(|| {
            let schemas = self.request_schema();
            Plan::new(
                Shape::compile(&schemas.root, &schemas.components),
                self.rules,
            )
        })
    }
}

/// The entry of the calculation with this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Entry> {
    REGISTRY.iter().find(|entry| entry.name == name)
}
