//! A sheet as a table: a row for each step of each student.

use serde_json::Value;

use crate::api::rows::dialect::Dialect;

const COLUMNS: [&str; 10] = [
    "student",
    "topic",
    "level",
    "seed",
    "question",
    "step",
    "words",
    "unit",
    "significant_figures",
    "marks",
];
/// Columns of the marking key.
const KEY: [&str; 2] = ["value", "tolerance"];

/// The answer of `exercises/sheet` as CSV; with the marking key where the answer has it.
#[must_use]
pub fn of(answer: &Value, dialect: Dialect) -> String {
    let is_comma = dialect.delimiter == b';';
    let line = |cells: &[String]| {
        let separator = char::from(dialect.delimiter).to_string();
        cells.join(&separator) + "\r\n"
    };
    let key = answer["key"].as_array();
    let names = COLUMNS.iter().chain(key.iter().flat_map(|_| KEY.iter()));
    let header: Vec<_> = names.map(|name| (*name).to_owned()).collect();
    let mut text = line(&header);
    let mut lines = key.into_iter().flatten();
    for student in answer["students"].as_array().into_iter().flatten() {
        for exercise in student["exercises"].as_array().into_iter().flatten() {
            for step in exercise["asked"].as_array().into_iter().flatten() {
                let of_exercise =
                    ["topic", "level", "seed", "question"].map(|name| &exercise[name]);
                let of_step = ["step", "words", "unit", "significant_figures", "marks"]
                    .map(|name| &step[name]);
                let of_key = lines.next().map(|line| KEY.map(|name| &line[name]));
                let all = std::iter::once(&student["student"])
                    .chain(of_exercise)
                    .chain(of_step)
                    .chain(of_key.into_iter().flatten());
                let cells: Vec<_> = all.map(|value| cell(value, is_comma)).collect();
                text.push_str(&line(&cells));
            }
        }
    }
    text
}

/// A value as a cell; a text that a spreadsheet would take for a formula is quoted as a text.
fn cell(value: &Value, is_comma: bool) -> String {
    match value {
        Value::String(text) => {
            let guard = if text.starts_with(['=', '+', '-', '@']) {
                "'"
            } else {
                ""
            };
            format!("\"{guard}{}\"", text.replace('"', "\"\""))
        }
        Value::Number(number) if is_comma => number.to_string().replace('.', ","),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::Array(_) | Value::Object(_) => {
            value.to_string()
        }
    }
}
