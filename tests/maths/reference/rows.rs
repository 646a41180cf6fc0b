//! Rows of the tables in `tests/data` that give inputs as JSON and an expected value with its
//! tolerance.

use std::collections::HashMap;

use serde_json::Value;

use crate::support::table;

/// One row of such a table.
pub(super) struct Row {
    pub(super) id: String,
    pub(super) expected: String,
    pub(super) tolerance: f64,
    inputs: Value,
}

impl Row {
    fn of(record: &HashMap<String, String>) -> Self {
        Self {
            id: record["id"].clone(),
            expected: record["expected"].clone(),
            tolerance: record["tolerance"].parse().expect("a tolerance"),
            inputs: serde_json::from_str(&record["inputs"]).expect("inputs in JSON"),
        }
    }

    /// An input that is a number.
    pub(super) fn number(&self, name: &str) -> f64 {
        self.inputs[name]
            .as_f64()
            .unwrap_or_else(|| panic!("{}: no {name}", self.id))
    }

    /// An input that is a list of numbers.
    pub(super) fn list(&self, name: &str) -> Vec<f64> {
        let list = self.inputs[name]
            .as_array()
            .unwrap_or_else(|| panic!("{}: no {name}", self.id));
        list.iter().map(|x| x.as_f64().expect("a number")).collect()
    }

    /// The expected values, of which a table may give several.
    pub(super) fn expected(&self) -> Vec<f64> {
        self.expected
            .split(';')
            .map(|x| x.parse().expect("a number"))
            .collect()
    }

    /// Asserts that a value lies within the row's tolerance of the only expected one.
    #[track_caller]
    pub(super) fn check(&self, computed: f64) {
        let [expected] = self.expected()[..] else {
            panic!("{}: several values", self.id);
        };
        // half a last place of slack: a tolerance of zero means equal but for rounding
        let allowed = self.tolerance * (1.0 + 1e-9) + expected.abs() * 1e-12;
        assert!(
            (computed - expected).abs() <= allowed,
            "{}: computed {computed}, expected {expected}, allowed ±{allowed}",
            self.id
        );
    }
}

/// All rows of a table.
pub(super) fn rows(name: &str) -> Vec<Row> {
    table(name).iter().map(Row::of).collect()
}
