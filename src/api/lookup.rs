//! A calculation asked by a query string.

use super::decode::{self, Fields, MOST_FAULTS, Writing};
use super::problem::{Fault, FaultCode, Problem, ProblemCode};
use super::query;
use super::reserved::Reserved;

/// A query string taken apart: the fields of a request, and how the answer is to be written.
#[derive(Debug)]
pub struct Question {
    pairs: Vec<(String, String)>,
    /// How the answer is to be written.
    pub reserved: Reserved,
    /// What is wrong with the parameters that say so.
    pub faults: Vec<Fault>,
}

impl Question {
    /// The question that a query string asks.
    ///
    /// # Errors
    /// 400 for a broken query.
    pub fn parse(query: &str) -> Result<Self, Problem> {
        let mut pairs = query::parse(query)?;
        let (reserved, faults) = Reserved::take(&mut pairs);
        Ok(Self {
            pairs,
            reserved,
            faults,
        })
    }

    /// The question whose fields are these names and values.
    #[must_use]
    pub fn of_pairs(pairs: Vec<(String, String)>) -> Self {
        Self {
            pairs,
            reserved: Reserved::default(),
            faults: Vec::new(),
        }
    }

    /// Gives the fields of the request to `work`.
    pub fn fields<T>(&self, work: impl FnOnce(Fields<'_>) -> T) -> T {
        let names: Vec<&str> = self.pairs.iter().map(|(name, _)| name.as_str()).collect();
        let mut text = String::new();
        let mut spans = Vec::with_capacity(self.pairs.len());
        for (_, value) in &self.pairs {
            let begin = text.len();
            text.push_str(value);
            spans.push((begin, text.len()));
        }
        work(Fields {
            names: &names,
            text: &text,
            spans: &spans,
            writing: Writing::QUERY,
        })
    }
}

/// How the answer to a body is to be written, as the query beside it says, with what is wrong
/// about that: a name that is not reserved is a fault too.
///
/// # Errors
/// 400 for a broken query.
pub fn beside_body(query: &str) -> Result<(Reserved, Vec<Fault>), Problem> {
    let mut question = Question::parse(query)?;
    let unknown = question.pairs.iter().take(MOST_FAULTS).map(|(name, _)| {
        let detail = "there is no such query parameter beside a body; there are `format`, `select`, \
            `decimal` and `display`, and the fields stand in the body";
        let pointer = format!("/{}", decode::pointer_part(name));
        Fault::new(pointer, FaultCode::UnknownField, detail)
    });
    question.faults.extend(unknown);
    Ok((question.reserved, question.faults))
}

/// One problem out of two about the same request: the faults of both when both are about
/// fields, otherwise the one that is not.
#[must_use]
pub fn joined(first: Problem, second: Option<Problem>) -> Problem {
    let is_about_fields = |problem: &Problem| problem.code() == ProblemCode::ValidationFailed;
    match second {
        None => first,
        Some(_) if !is_about_fields(&first) => first,
        Some(second) if !is_about_fields(&second) => second,
        Some(second) => Problem::invalid([first.faults(), second.faults()].concat()),
    }
}
