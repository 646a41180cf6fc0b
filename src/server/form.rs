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
use crate::api::wanted::Wanted;

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
    pub(super) wanted: Wanted,
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
            format,
            wanted: Wanted::of(&reserved),
        };
        faults.extend(form.select_faults(entry));
        faults.extend(form.decimal_fault());
        faults.extend(form.page_fault(entry));
        faults.extend(form.display_fault(entry));
        if faults.is_empty() {
            Ok(form)
        } else {
            Err(Problem::invalid(faults))
        }
    }

    /// The whole answer in one format.
    pub(super) fn plain(format: Format) -> Self {
        Self {
            format,
            wanted: Wanted::default(),
        }
    }

    /// Whether the answer goes out as it was computed.
    pub(super) fn is_as_computed(&self, entry: &Entry) -> bool {
        self.is_row(entry) || self.format == Format::Json && self.wanted.is_all()
    }

    /// Whether the whole answer goes out as a row under a header.
    pub(super) fn is_row(&self, entry: &Entry) -> bool {
        self.format == Format::Csv && !self.is_part() && entry.is_flat()
    }

    /// How such a row is written.
    pub(super) const fn dialect(&self) -> Dialect {
        if self.wanted.decimal_comma {
            Dialect::SEMICOLONS
        } else {
            Dialect::COMMAS
        }
    }

    /// The form that the calculation writes itself, when it is the one wanted.
    pub(super) fn own(&self, entry: &Entry) -> Option<&'static OwnForm> {
        let own = || entry.own_forms.iter().find(|own| own.format == self.format);
        if self.is_part() { None } else { own() }
    }

    /// Whether some outputs are selected.
    pub(super) const fn is_part(&self) -> bool {
        !self.wanted.select.is_empty()
    }

    fn page_fault(&self, entry: &Entry) -> Option<Fault> {
        if self.format != Format::Html || self.own(entry).is_some() {
            return None;
        }
        Some(if self.is_part() {
            let detail = "a page is printed whole; the other formats can have a part of it";
            Fault::new("/select", FaultCode::Contradictory, detail)
        } else {
            let detail = "this calculation has no page to be printed";
            Fault::new("/format", FaultCode::NotAllowed, detail)
        })
    }

    /// Rounded texts are asked for where there is no room for them.
    fn display_fault(&self, entry: &Entry) -> Option<Fault> {
        let is_bare = self.format == Format::Text && self.is_part();
        let is_series = self.format == Format::Csv && !self.is_part() && entry.columnar.is_some();
        let is_shown = |path: &String| path.starts_with("display");
        let is_named = self.wanted.select.iter().any(is_shown);
        let has_no_room = is_bare && !is_named || is_series || self.own(entry).is_some();
        (self.wanted.display && has_no_room).then(|| {
            let detail = "this form of the answer has no room for rounded texts";
            Fault::new("/display", FaultCode::Contradictory, detail)
        })
    }

    fn decimal_fault(&self) -> Option<Fault> {
        let is_text = matches!(self.format, Format::Text | Format::Csv);
        if is_text {
            None
        } else {
            comma_fault(&self.wanted)
        }
    }

    fn select_faults(&self, entry: &Entry) -> Vec<Fault> {
        let mut faults = self.wanted.faults(entry, |path, shape| {
            let is_told = match self.format {
                Format::Text => shape.fits_a_cell(),
                Format::Csv => matches!(shape, Shape::Object(_)) || shape.fits_a_cell(),
                Format::Json | Format::Ndjson | Format::Html => true,
            };
            (!is_told).then(|| {
                let inside = inside(path, shape);
                format!("`{path}` is more than one cell holds; {inside}")
            })
        });
        let is_bare = self.format == Format::Text && self.is_part();
        if is_bare && faults.is_empty() && !self.wanted.is_single(entry) {
            let detail = "a bare text is one output; the other formats can have several";
            faults.push(Fault::new("/select", FaultCode::WrongType, detail));
        }
        faults
    }
}

/// The fault of a decimal comma that is asked for where there are JSON numbers only.
pub(super) fn comma_fault(wanted: &Wanted) -> Option<Fault> {
    (wanted.decimal_comma && !wanted.display).then(|| {
        let detail = "JSON has a decimal point; a comma is for text, CSV and `display`";
        Fault::new("/decimal", FaultCode::Contradictory, detail)
    })
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
