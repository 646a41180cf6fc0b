//! Which fields of a request must, or may not, be given together: data, so that every form of
//! a request is judged alike and the document can say it.

use super::problem::{Fault, FaultCode};

/// A rule about which fields are present.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// One of the fields, and no more than one.
    ExactlyOne(&'static [&'static str]),
    /// None or one of the fields.
    AtMostOne(&'static [&'static str]),
    /// The first field is of use only with all of the others.
    Needs(&'static str, &'static [&'static str]),
    /// The first field is of use only with one of the others.
    NeedsOneOf(&'static str, &'static [&'static str]),
    /// The first field cannot stand beside any of the others.
    Excludes(&'static str, &'static [&'static str]),
}

impl Rule {
    /// The rule as a sentence of the document.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Self::ExactlyOne(fields) => format!("Give exactly one of {}.", listed(fields, "or")),
            Self::AtMostOne(fields) => format!("Give at most one of {}.", listed(fields, "or")),
            Self::Needs(field, others) => {
                format!("`{field}` needs {} as well.", listed(others, "and"))
            }
            Self::NeedsOneOf(field, others) => {
                format!("`{field}` needs {} as well.", listed(others, "or"))
            }
            Self::Excludes(field, others) => {
                format!("`{field}` excludes {}.", listed(others, "and"))
            }
        }
    }

    /// The faults of a request in which `is_present` tells the fields that were given.
    #[must_use]
    pub fn faults(&self, is_present: &dyn Fn(&str) -> bool) -> Vec<Fault> {
        let given = |fields: &'static [&'static str]| -> Vec<&'static str> {
            fields
                .iter()
                .copied()
                .filter(|field| is_present(field))
                .collect()
        };
        let fault = |field: &str, code| Fault::new(format!("/{field}"), code, self.sentence());
        let first_required = |fields: &'static [&'static str]| -> Vec<Fault> {
            let first = fields.first();
            first
                .map(|f| fault(f, FaultCode::Required))
                .into_iter()
                .collect()
        };
        match self {
            Self::ExactlyOne(fields) if given(fields).is_empty() => first_required(fields),
            Self::ExactlyOne(fields) | Self::AtMostOne(fields) => match given(fields).as_slice() {
                [] | [_] => Vec::new(),
                more => more
                    .iter()
                    .map(|f| fault(f, FaultCode::Contradictory))
                    .collect(),
            },
            Self::Needs(field, others) if is_present(field) => others
                .iter()
                .filter(|other| !is_present(other))
                .map(|other| fault(other, FaultCode::Required))
                .collect(),
            Self::NeedsOneOf(field, others) if is_present(field) && given(others).is_empty() => {
                first_required(others)
            }
            Self::Excludes(field, others) if is_present(field) => given(others)
                .into_iter()
                .map(|other| fault(other, FaultCode::Contradictory))
                .collect(),
            Self::Needs(..) | Self::NeedsOneOf(..) | Self::Excludes(..) => Vec::new(),
        }
    }
}

fn listed(fields: &[&str], conjunction: &str) -> String {
    match fields {
        [] => String::new(),
        [only] => format!("`{only}`"),
        [first @ .., last] => {
            let first: Vec<_> = first.iter().map(|field| format!("`{field}`")).collect();
            format!("{} {conjunction} `{last}`", first.join(", "))
        }
    }
}
