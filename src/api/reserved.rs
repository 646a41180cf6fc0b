//! The query parameters that belong to no calculation: how the answer is to be written.

use super::problem::{Fault, FaultCode};

/// Names that are set aside, and what each one does.
pub const PARAMETERS: [Parameter; 4] = [
    Parameter {
        name: "format",
        words: &["json", "csv", "ndjson", "text", "html"],
        meaning: "Form of the answer, for callers who cannot set headers; wins over `Accept`.",
    },
    Parameter {
        name: "select",
        words: &[],
        meaning: "Outputs by their names, with dots inside and commas between: with `format=text` one, the bare \
                  value for one cell; in rows, their columns beside those of the request.",
    },
    Parameter {
        name: "decimal",
        words: &["point", "comma"],
        meaning: "What marks the decimals in text and CSV.",
    },
    Parameter {
        name: "display",
        words: &["true", "false"],
        meaning: "Whether `display` is added: the main outputs as rounded strings.",
    },
];

/// A reserved query parameter.
#[derive(Debug, Clone, Copy)]
pub struct Parameter {
    /// Its name.
    pub name: &'static str,
    /// The values it may have; any text when empty.
    pub words: &'static [&'static str],
    /// What it does.
    pub meaning: &'static str,
}

/// Form of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// One JSON object.
    Json,
    /// Rows under a header.
    Csv,
    /// One JSON object a line.
    Ndjson,
    /// A bare value.
    Text,
    /// A page to be printed, where the calculation has one.
    Html,
}

/// How the answer is to be written, as the query says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reserved {
    /// Form of the answer; without one, `Accept` decides.
    pub format: Option<Format>,
    /// The outputs wanted, with dots inside and commas between.
    pub select: Option<String>,
    /// Whether numbers have a decimal comma; without it, the form decides.
    pub decimal_comma: Option<bool>,
    /// Whether rounded texts are added.
    pub display: bool,
}

impl Reserved {
    /// Takes the reserved parameters out of a query; the faults of their values come back.
    pub fn take(pairs: &mut Vec<(String, String)>) -> (Self, Vec<Fault>) {
        let mut found = Self::default();
        let mut faults = Vec::new();
        let mut seen = Vec::new();
        pairs.retain(|(name, value)| {
            let Some(parameter) = PARAMETERS.iter().find(|p| p.name == name) else {
                return true;
            };
            if seen.contains(&parameter.name) {
                let detail = "the parameter is given more than once";
                faults.push(fault(parameter, FaultCode::DuplicateField, detail));
            }
            seen.push(parameter.name);
            if value.is_empty() {
                // forms send what was left empty
            } else if !parameter.words.is_empty() && !parameter.words.contains(&value.as_str()) {
                let detail = format!("one of {} is needed", parameter.words.join(", "));
                faults.push(fault(parameter, FaultCode::NotAllowed, &detail));
            } else {
                found.set(parameter.name, value);
            }
            false
        });
        (found, faults)
    }

    fn set(&mut self, name: &str, value: &str) {
        match (name, value) {
            ("format", "json") => self.format = Some(Format::Json),
            ("format", "csv") => self.format = Some(Format::Csv),
            ("format", "ndjson") => self.format = Some(Format::Ndjson),
            ("format", "text") => self.format = Some(Format::Text),
            ("format", "html") => self.format = Some(Format::Html),
            ("select", path) => self.select = Some(path.to_owned()),
            ("decimal", mark) => self.decimal_comma = Some(mark == "comma"),
            ("display", answer) => self.display = answer == "true",
            _ => {}
        }
    }
}

fn fault(parameter: &Parameter, code: FaultCode, detail: &str) -> Fault {
    Fault::new(format!("/{}", parameter.name), code, detail)
}

#[cfg(test)]
mod tests {
    use super::{Format, Reserved};

    fn pairs(of: &[(&str, &str)]) -> Vec<(String, String)> {
        let owned = |(n, v): &(&str, &str)| ((*n).to_owned(), (*v).to_owned());
        of.iter().map(owned).collect()
    }

    #[test]
    fn reserved_names_are_taken_out_and_the_rest_stays_in_order() {
        let mut given = pairs(&[
            ("dose_g", "18"),
            ("format", "csv"),
            ("decimal", "comma"),
            ("x", ""),
        ]);
        let (reserved, faults) = Reserved::take(&mut given);
        assert_eq!(given, pairs(&[("dose_g", "18"), ("x", "")]));
        assert!(faults.is_empty());
        assert_eq!(reserved.format, Some(Format::Csv));
        assert_eq!(reserved.decimal_comma, Some(true));
        assert!(!reserved.display && reserved.select.is_none());
    }

    #[test]
    fn a_wrong_or_repeated_value_is_a_fault_by_its_name() {
        let mut given = pairs(&[("format", "xml"), ("display", "yes"), ("format", "json")]);
        let (_, faults) = Reserved::take(&mut given);
        let faults: Vec<_> = faults
            .iter()
            .map(|f| (f.pointer.as_str(), f.code.as_str()))
            .collect();
        let expected = [
            ("/format", "not_allowed"),
            ("/display", "not_allowed"),
            ("/format", "duplicate_field"),
        ];
        assert_eq!(faults, expected);
    }
}
