//! Every fault of a refused request, by JSON pointer.

use super::tree::Node;
use crate::api::calendar::CalendarDate;
use crate::api::problem::{Fault, FaultCode};
use crate::api::shape::{Field, Interval, Plan, Shape};

/// Faults that one answer names; a list of ten thousand wrong numbers is told by its first.
pub const MOST_FAULTS: usize = 100;

/// Longest part of an unknown name that is repeated to the caller, in characters.
const LONGEST_NAME: usize = 64;

/// The faults of a tree, structure first and then the rules about what goes with what.
pub(super) fn of(node: &Node, plan: &Plan) -> Vec<Fault> {
    let mut found = Found(Vec::new());
    found.judge(node, &plan.shape, "");
    if let Node::Object(fields) = node {
        let is_present = |name: &str| fields.iter().any(|(n, v)| n == name && *v != Node::Null);
        for rule in plan.rules {
            found.0.extend(rule.faults(&is_present));
        }
    }
    found.0.truncate(MOST_FAULTS);
    found.0
}

/// The faults of a header that names fields of a request.
pub(crate) fn of_header(names: &[&str], shape: &Shape) -> Vec<Fault> {
    let mut found = Found(Vec::new());
    for (place, name) in names.iter().enumerate().take(MOST_FAULTS) {
        let at = format!("/{}", pointer_part(name));
        if !shape.fields().iter().any(|field| field.name == *name) {
            let detail = unknown(name, shape.fields());
            found.add(&at, FaultCode::UnknownField, detail);
        } else if names.iter().take(place).any(|other| other == name) {
            found.add(&at, FaultCode::DuplicateField, "the column stands twice");
        }
    }
    for field in shape.fields().iter().filter(|field| field.is_required) {
        if !names.contains(&field.name.as_str()) {
            let at = format!("/{}", field.name);
            found.add(&at, FaultCode::Required, "the column is missing");
        }
    }
    found.0
}

struct Found(Vec<Fault>);

impl Found {
    fn add(&mut self, pointer: &str, code: FaultCode, detail: impl Into<String>) {
        self.0.push(Fault::new(pointer, code, detail));
    }

    fn judge(&mut self, node: &Node, shape: &Shape, pointer: &str) {
        if self.0.len() >= MOST_FAULTS {
            return;
        }
        match (shape, node) {
            (Shape::Number(interval), Node::Number(value)) => {
                self.judge_number(*value, interval, pointer);
            }
            (Shape::Text { is_date: true, .. }, Node::Text(text)) => self.judge_date(text, pointer),
            (
                Shape::Text {
                    words, max_length, ..
                },
                Node::Text(text),
            ) => {
                self.judge_text(text, words, *max_length, pointer);
            }
            (Shape::Flag, Node::Flag) => {}
            (
                Shape::List {
                    item,
                    min_items,
                    max_items,
                },
                Node::List(items, count),
            ) => {
                self.judge_count(*count, *min_items, *max_items, pointer);
                for (index, node) in items.iter().enumerate() {
                    self.judge(node, item, &format!("{pointer}/{index}"));
                }
            }
            // an object without known fields is judged elsewhere: a request inside a batch
            (Shape::Object(fields), Node::Object(_)) if fields.is_empty() => {}
            (Shape::Object(fields), Node::Object(given)) => {
                self.judge_object(given, fields, pointer)
            }
            (shape, node) => self.judge_mismatch(node, shape, pointer),
        }
    }

    fn judge_mismatch(&mut self, node: &Node, shape: &Shape, pointer: &str) {
        let (code, detail) = match (shape, node) {
            (Shape::Number(_), Node::Text(text)) if is_decimal_comma(text) => (
                FaultCode::DecimalComma,
                format!(
                    "write {} with a decimal point instead of the comma",
                    text.trim()
                ),
            ),
            (_, Node::NotFinite(text)) => (
                FaultCode::NotFinite,
                format!("{} is not a finite number", shortened(text)),
            ),
            (shape, node) => (
                FaultCode::WrongType,
                format!("{} is needed, not {}", needed(shape), given(node)),
            ),
        };
        self.add(pointer, code, detail);
    }

    fn judge_number(&mut self, value: f64, interval: &Interval, pointer: &str) {
        let Interval {
            min,
            max,
            is_integer,
            unit,
        } = *interval;
        if is_integer && libm::trunc(value).to_bits() != value.to_bits() {
            return self.add(
                pointer,
                FaultCode::WrongType,
                format!("{value} is not a whole number"),
            );
        }
        if min <= value && value <= max {
            return;
        }
        let unit_shown = if unit == "1" {
            String::new()
        } else {
            format!(" {unit}")
        };
        self.0.push(Fault {
            minimum: Some(min),
            maximum: Some(max),
            unit: Some(unit.to_owned()),
            ..Fault::new(
                pointer,
                FaultCode::OutOfRange,
                format!("{value}{unit_shown} is outside {min} to {max}{unit_shown}"),
            )
        });
    }

    fn judge_text(&mut self, text: &str, words: &[String], longest: Option<usize>, pointer: &str) {
        if !words.is_empty() && !words.iter().any(|word| word == text) {
            let allowed = words.join(", ");
            let detail = format!("{:?} is not one of {allowed}", shortened(text));
            return self.add(pointer, FaultCode::NotAllowed, detail);
        }
        if let Some(longest) = longest
            && text.chars().nth(longest).is_some()
        {
            let detail = format!("the text is longer than {longest} characters");
            return self.add(pointer, FaultCode::TooLong, detail);
        }
        if text.contains('\0') {
            self.add(
                pointer,
                FaultCode::NotAllowed,
                "the text holds a null character",
            );
        }
    }

    fn judge_date(&mut self, text: &str, pointer: &str) {
        if CalendarDate::parse(text).is_none() {
            let detail = format!(
                "{:?} is no day of the calendar, which is written as 2026-11-25: year, month, day",
                shortened(text)
            );
            self.add(pointer, FaultCode::WrongType, detail);
        }
    }

    fn judge_count(&mut self, count: usize, fewest: usize, most: usize, pointer: &str) {
        if count < fewest {
            let detail = format!("{count} items are fewer than {fewest}");
            self.add(pointer, FaultCode::TooFewItems, detail);
        }
        if count > most {
            let detail = format!("{count} items are more than {most}");
            self.add(pointer, FaultCode::TooManyItems, detail);
        }
    }

    fn judge_object(&mut self, given: &[(String, Node)], fields: &[Field], pointer: &str) {
        for (place, (name, node)) in given.iter().enumerate() {
            let at = format!("{pointer}/{}", pointer_part(name));
            let earlier = given.get(..place).unwrap_or_default();
            match fields.iter().find(|field| &field.name == name) {
                None => self.add(&at, FaultCode::UnknownField, unknown(name, fields)),
                Some(_) if earlier.iter().any(|(other, _)| other == name) => {
                    self.add(
                        &at,
                        FaultCode::DuplicateField,
                        "the field is given more than once",
                    );
                }
                Some(_) if *node == Node::Null => {}
                Some(field) => self.judge(node, &field.shape, &at),
            }
        }
        for field in fields.iter().filter(|field| field.is_required) {
            if !given
                .iter()
                .any(|(name, node)| *name == field.name && *node != Node::Null)
            {
                let at = format!("{pointer}/{}", field.name);
                self.add(&at, FaultCode::Required, "the field is missing");
            }
        }
    }
}

fn needed(shape: &Shape) -> &'static str {
    match shape {
        Shape::Number(interval) if interval.is_integer => "a whole number",
        Shape::Number(_) => "a number",
        Shape::Text { is_date: true, .. } => "a date as a text",
        Shape::Text { .. } => "a text",
        Shape::Flag => "true or false",
        Shape::List { .. } => "a list",
        Shape::Object(_) => "an object",
    }
}

fn given(node: &Node) -> &'static str {
    match node {
        Node::Null => "null",
        Node::Flag => "true or false",
        Node::Number(_) | Node::NotFinite(_) => "a number",
        Node::Text(_) => "a text",
        Node::List(..) => "a list",
        Node::Object(_) => "an object",
        Node::Unknown => "this",
    }
}

/// Whether a text is a number written with a decimal comma: `1,5` or `-0,25`.
fn is_decimal_comma(text: &str) -> bool {
    text.matches(',').count() == 1 && text.trim().replace(',', ".").parse::<f64>().is_ok()
}

fn unknown(name: &str, fields: &[Field]) -> String {
    // a name that differs in a few letters is a slip of the pen
    let near = fields
        .iter()
        .map(|field| {
            (
                strsim::damerau_levenshtein(&shortened(name), &field.name),
                &field.name,
            )
        })
        .min()
        .filter(|(distance, field)| *distance <= 1 + field.len() / 4);
    match near {
        Some((_, field)) => format!("there is no such field; `{field}` may be meant"),
        None => "there is no such field".to_owned(),
    }
}

fn shortened(text: &str) -> String {
    match text.char_indices().nth(LONGEST_NAME) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}…", &text[..end]),
    }
}

/// A name as a part of a JSON pointer (RFC 6901), shortened.
pub(crate) fn pointer_part(name: &str) -> String {
    shortened(name).replace('~', "~0").replace('/', "~1")
}
