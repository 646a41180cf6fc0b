//! The part of an answer that a caller wants: all of it or some outputs, and whether the main
//! ones stand there as rounded texts too.

use std::collections::BTreeSet;

use serde_json::{Map, Value};

use super::display;
use super::paths::{self, place_at, shape_at, value_at};
use super::problem::{Fault, FaultCode};
use super::registry::Entry;
use super::reserved::Reserved;
use super::rows::columns::CAUTION_CODES;
use super::shape::Shape;

/// Most outputs that are named as wrong at once: each is compared with all that there are.
const MOST_FAULTS: usize = 8;

/// The output with the rounded texts.
const DISPLAY: &str = "display";

/// What a caller wants of an answer.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wanted {
    /// Outputs by their paths with dots; all of them when there is none.
    pub select: Vec<String>,
    /// Whether rounded texts are added.
    pub display: bool,
    /// Whether decimals are marked by a comma where texts are written.
    pub decimal_comma: bool,
}

impl Wanted {
    /// What the reserved parameters of a query say.
    #[must_use]
    pub fn of(reserved: &Reserved) -> Self {
        let paths = reserved.select.iter().flat_map(|paths| paths.split(','));
        // once is enough, however often it is named
        let mut known = BTreeSet::new();
        let paths = paths.filter(|path| known.insert(*path));
        Self {
            select: paths.map(str::to_owned).collect(),
            display: reserved.display,
            decimal_comma: reserved.decimal_comma == Some(true),
        }
    }

    /// One output.
    #[must_use]
    pub fn only(path: &str) -> Self {
        Self {
            select: vec![path.to_owned()],
            ..Self::default()
        }
    }

    /// The same for a table, where cautions have a column of their codes.
    #[must_use]
    pub fn in_a_table(mut self) -> Self {
        for path in &mut self.select {
            if path == CAUTION_CODES {
                "cautions".clone_into(path);
            }
        }
        self
    }

    /// Whether it is the answer as it was computed.
    #[must_use]
    pub const fn is_all(&self) -> bool {
        self.select.is_empty() && !self.display
    }

    /// Whether an output, or the column that holds it, is among them.
    #[must_use]
    pub fn has(&self, output: &str) -> bool {
        let is_in = |path: &String| {
            let rest = output.strip_prefix(path.as_str());
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        self.select.is_empty() || self.select.iter().any(is_in)
    }

    /// Whether an output is to be shown as a rounded text: where `select` names none of these,
    /// those of the outputs that it names.
    #[must_use]
    pub fn shows(&self, path: &str) -> bool {
        let is_shown = |path: &String| path == DISPLAY || path.starts_with("display.");
        let mut named = self.select.iter().filter(|path| is_shown(path)).peekable();
        if named.peek().is_none() {
            return self.display && self.has(path);
        }
        let inside = format!("{DISPLAY}.{path}");
        self.display && self.has(&inside)
    }

    /// A fault for each output that the calculation does not have, or that is refused by
    /// `why_not`, which is told its path and its shape.
    pub fn faults(
        &self,
        entry: &Entry,
        why_not: impl Fn(&str, &Shape) -> Option<String>,
    ) -> Vec<Fault> {
        let fault = |path: &String| match shape_at(entry.answer_shape(), path) {
            Some(shape) => {
                let detail = why_not(path, shape)?;
                Some(Fault::new("/select", FaultCode::WrongType, detail))
            }
            None if self.is_display(entry, path) => None,
            None => Some(unknown_output(entry, path)),
        };
        let faults = self.select.iter().filter_map(fault);
        faults.take(MOST_FAULTS).collect()
    }

    fn is_display(&self, entry: &Entry, path: &str) -> bool {
        let shown = self.display.then(|| path.strip_prefix("display")).flatten();
        shown.is_some_and(|rest| {
            let is_headline = |rest: &str| {
                let shown = Self::only(rest);
                entry.headlines.iter().any(|line| shown.has(line.path))
            };
            rest.is_empty() || rest.strip_prefix('.').is_some_and(is_headline)
        })
    }

    /// Whether all that is selected are single outputs, not several in `display`.
    #[must_use]
    pub fn is_single(&self, entry: &Entry) -> bool {
        let is_headline = |rest: &str| entry.headlines.iter().any(|line| line.path == rest);
        let is_single = |path: &String| match path.strip_prefix("display") {
            None => true,
            Some(rest) => rest.strip_prefix('.').is_some_and(is_headline),
        };
        self.select.len() == 1 && self.select.iter().all(is_single)
    }

    /// What is wanted of an answer, where it stands there; an output that this answer does not
    /// have is left out.
    #[must_use]
    pub fn part_of(&self, entry: &Entry, mut answer: Value) -> Value {
        if self.display {
            answer["display"] = display::of(entry.headlines, &answer, self.decimal_comma);
        }
        if self.select.is_empty() {
            return answer;
        }
        let mut part = Value::Object(Map::new());
        let shown = entry.headlines.iter().filter(|line| self.shows(line.path));
        let shown: Vec<_> = shown
            .map(|line| format!("{DISPLAY}.{}", line.path))
            .collect();
        for path in self.select.iter().chain(&shown) {
            if let Some(value) = value_at(&answer, path)
                && let Some(place) = place_at(&mut part, path)
            {
                *place = value.clone();
            }
        }
        part
    }
}

/// Longest part of a caller's text that is repeated to the caller, in characters.
const LONGEST_REPEATED: usize = 64;

fn repeated(text: &str) -> &str {
    let end = text.char_indices().nth(LONGEST_REPEATED);
    end.map_or(text, |(end, _)| &text[..end])
}

fn unknown_output(entry: &Entry, path: &str) -> Fault {
    let paths = paths::all(entry.answer_shape());
    let asked = repeated(path);
    let mut near: Vec<_> = paths
        .iter()
        .map(|known| (strsim::damerau_levenshtein(asked, known), known))
        .filter(|(distance, known)| *distance <= 1 + known.len() / 3)
        .collect();
    near.sort();
    let names: Vec<_> = if near.is_empty() {
        let headlines = entry.headlines.iter();
        headlines.map(|line| format!("`{}`", line.path)).collect()
    } else {
        near.iter()
            .take(3)
            .map(|(_, known)| format!("`{known}`"))
            .collect()
    };
    let detail = format!(
        "there is no output {asked:?}; there is {}",
        names.join(", ")
    );
    Fault::new("/select", FaultCode::UnknownField, detail)
}
