//! The form in which a caller wants an answer: what the query and `Accept` ask for, judged
//! before anything is computed.

use actix_web::HttpRequest;

use super::negotiate;
use crate::api::lookup;
use crate::api::own_form::OwnForm;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::registry::Entry;
use crate::api::reserved::{Format, Reserved};
use crate::api::rows::dialect::Dialect;
use crate::api::shape::Shape;

/// The forms on offer, the most wanted first.
pub(super) const OFFERS: [(&str, Format); 4] = [
    ("application/json", Format::Json),
    ("text/csv", Format::Csv),
    ("application/x-ndjson", Format::Ndjson),
    ("text/plain", Format::Text),
];

/// A form that the answer of a calculation can have.
#[derive(Debug, Clone)]
pub(super) struct Form {
    pub(super) format: Format,
    pub(super) select: Option<String>,
    pub(super) decimal_comma: bool,
    pub(super) display: bool,
}

impl Form {
    /// The form that a request with a body asks for; its query holds nothing but that.
    ///
    /// # Errors
    /// 400 for a broken query, 406 when no accepted type is on offer, 422 naming every parameter
    /// that is unknown or wrong.
    pub(super) fn of(entry: &Entry, request: &HttpRequest) -> Result<Self, Problem> {
        let query = request.query_string();
        if query.is_empty() {
            return Ok(Self::plain(negotiated(entry, request)?));
        }
        let (reserved, faults) = lookup::beside_body(query)?;
        Self::judged(entry, request, reserved, faults)
    }

    /// The form that reserved parameters and `Accept` ask for, when there are no other `faults`.
    ///
    /// # Errors
    /// As [`Form::of`].
    pub(super) fn judged(
        entry: &Entry,
        request: &HttpRequest,
        reserved: Reserved,
        mut faults: Vec<Fault>,
    ) -> Result<Self, Problem> {
        let format = match reserved.format {
            Some(format) => format,
            None => negotiated(entry, request)?,
        };
        let form = Self {
            select: reserved.select,
            decimal_comma: reserved.decimal_comma == Some(true),
            display: reserved.display,
            ..Self::plain(format)
        };
        faults.extend(form.select_fault(entry));
        faults.extend(form.decimal_fault());
        faults.extend(form.page_fault(entry));
        if faults.is_empty() {
            Ok(form)
        } else {
            Err(Problem::invalid(faults))
        }
    }

    /// The whole answer in one format.
    pub(super) const fn plain(format: Format) -> Self {
        Self {
            format,
            select: None,
            decimal_comma: false,
            display: false,
        }
    }

    /// Whether the answer goes out as it was computed.
    pub(super) fn is_as_computed(&self, entry: &Entry) -> bool {
        self.is_row(entry) || self.format == Format::Json && self.select.is_none() && !self.display
    }

    /// Whether the whole answer goes out as a row under a header.
    pub(super) fn is_row(&self, entry: &Entry) -> bool {
        let is_whole = self.select.is_none() && !self.display;
        self.format == Format::Csv && is_whole && entry.is_flat()
    }

    /// How such a row is written.
    pub(super) const fn dialect(&self) -> Dialect {
        if self.decimal_comma {
            Dialect::SEMICOLONS
        } else {
            Dialect::COMMAS
        }
    }

    /// The form that the calculation writes itself, when it is the one wanted.
    pub(super) fn own(&self, entry: &Entry) -> Option<&'static OwnForm> {
        let own = || entry.own_forms.iter().find(|own| own.format == self.format);
        if self.select.is_some() { None } else { own() }
    }

    fn page_fault(&self, entry: &Entry) -> Option<Fault> {
        if self.format != Format::Html || self.own(entry).is_some() {
            return None;
        }
        Some(if self.select.is_some() {
            let detail = "a page is printed whole; another format can have one output";
            Fault::new("/select", FaultCode::Contradictory, detail)
        } else {
            let detail = "this calculation has no page to be printed";
            Fault::new("/format", FaultCode::NotAllowed, detail)
        })
    }

    fn decimal_fault(&self) -> Option<Fault> {
        let is_text = matches!(self.format, Format::Text | Format::Csv);
        (self.decimal_comma && !is_text && !self.display).then(|| {
            let detail = "JSON has a decimal point; a comma is for text, CSV and `display`";
            Fault::new("/decimal", FaultCode::Contradictory, detail)
        })
    }

    fn select_fault(&self, entry: &Entry) -> Option<Fault> {
        let path = self.select.as_deref()?;
        let shown = self.display.then(|| path.strip_prefix("display")).flatten();
        if let Some(rest) = shown {
            let is_headline = |rest: &str| entry.headlines.iter().any(|line| line.path == rest);
            let is_whole = rest.is_empty() && self.format != Format::Text;
            if is_whole || rest.strip_prefix('.').is_some_and(is_headline) {
                return None;
            }
        }
        match at(entry.answer_shape(), path) {
            None => Some(unknown_output(entry, path)),
            Some(shape) if self.format == Format::Text && !is_one_cell(shape) => {
                let detail = format!(
                    "`{path}` is more than one cell holds; {}",
                    inside(path, shape)
                );
                Some(Fault::new("/select", FaultCode::WrongType, detail))
            }
            Some(_) => None,
        }
    }
}

/// The form that `Accept` asks for.
fn negotiated(entry: &Entry, request: &HttpRequest) -> Result<Format, Problem> {
    if entry.own_forms.is_empty() {
        return negotiate::media_type(request.headers(), &OFFERS);
    }
    let own = entry
        .own_forms
        .iter()
        .map(|own| (own.media_type, own.format));
    let is_new = |(name, _): &(&str, Format)| OFFERS.iter().all(|(known, _)| known != name);
    let offers: Vec<_> = OFFERS.into_iter().chain(own.filter(is_new)).collect();
    negotiate::media_type(request.headers(), &offers)
}

/// The shape of an output, by its path with dots.
fn at<'s>(shape: &'s Shape, path: &str) -> Option<&'s Shape> {
    path.split('.').try_fold(shape, |shape, name| {
        let field = shape.fields().iter().find(|field| field.name == name)?;
        Some(&field.shape)
    })
}

fn is_one_cell(shape: &Shape) -> bool {
    match shape {
        Shape::Number(_) | Shape::Text { .. } | Shape::Flag => true,
        Shape::List { item, .. } => !matches!(**item, Shape::List { .. } | Shape::Object(_)),
        Shape::Object(_) => false,
    }
}

fn inside(path: &str, shape: &Shape) -> String {
    let names: Vec<_> = shape
        .fields()
        .iter()
        .map(|field| format!("`{path}.{}`", field.name))
        .collect();
    if names.is_empty() {
        "use `format=json`".to_owned()
    } else {
        format!("choose one of {}", names.join(", "))
    }
}

/// Longest part of a caller's text that is repeated to the caller, in characters.
const LONGEST_REPEATED: usize = 64;

fn repeated(text: &str) -> &str {
    let end = text.char_indices().nth(LONGEST_REPEATED);
    end.map_or(text, |(end, _)| &text[..end])
}

fn unknown_output(entry: &Entry, path: &str) -> Fault {
    let mut paths = Vec::new();
    list_paths(entry.answer_shape(), "", &mut paths);
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

fn list_paths(shape: &Shape, prefix: &str, paths: &mut Vec<String>) {
    for field in shape.fields() {
        let path = format!("{prefix}{}", field.name);
        list_paths(&field.shape, &format!("{path}."), paths);
        paths.push(path);
    }
}
