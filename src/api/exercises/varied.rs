//! Exercises without wording of their own: an example of the calculation with its numbers
//! drawn anew.

use serde_json::Value;

use super::decimal::Decimal;
use super::drawn::Datum;
use super::generator::Draws;
use crate::api::registry::Entry;
use crate::api::shape::{Interval, Shape};

/// Part of a number by which it is varied either way, in hundredths.
const SPREAD: i64 = 8;
/// Least units in the last place, so that a short number has steps to be varied in.
const LEAST_UNITS: i64 = 100;
/// Most decimals that a number gets.
const MOST_DECIMALS: u8 = 6;

/// An example of a calculation with its numbers drawn anew, or as it stands.
pub(super) fn example(entry: &Entry, draws: &mut Draws, is_varied: bool) -> (Value, Vec<Datum>) {
    let place = draws.place(entry.examples.len());
    let body = entry
        .examples
        .get(place)
        .map_or("{}", |example| example.body);
    let mut request: Value = serde_json::from_str(body).unwrap_or_default();
    if is_varied {
        vary(&mut request, entry.shape(), draws);
    }
    let mut data = Vec::new();
    tell(&request, "", &mut data);
    (request, data)
}

fn vary(value: &mut Value, shape: &Shape, draws: &mut Draws) {
    match (value, shape) {
        (Value::Number(number), Shape::Number(interval)) if !interval.is_integer => {
            if let Some(varied) = number.as_f64().and_then(|n| varied(n, interval, draws)) {
                *number = varied;
            }
        }
        (Value::Array(items), Shape::List { item, .. }) => {
            for value in items {
                vary(value, item, draws);
            }
        }
        (Value::Object(fields), Shape::Object(known)) => {
            for (name, value) in fields {
                if let Some(field) = known.iter().find(|field| field.name == *name) {
                    vary(value, &field.shape, draws);
                }
            }
        }
        _ => {}
    }
}

/// The number some hundredths more or less, with its decimals, inside its bounds.
fn varied(number: f64, interval: &Interval, draws: &mut Draws) -> Option<serde_json::Number> {
    let mut decimal = parsed(&format!("{number}"))?;
    while decimal.units != 0
        && decimal.units.abs() < LEAST_UNITS
        && decimal.decimals < MOST_DECIMALS
    {
        decimal.units *= 10;
        decimal.decimals += 1;
    }
    let most = decimal.units.abs() / 100 * SPREAD;
    let units = decimal.units + draws.between(-most, most);
    let value = Decimal { units, ..decimal }.value();
    let is_inside = interval.min <= value && value <= interval.max;
    serde_json::Number::from_f64(if is_inside { value } else { number })
}

fn parsed(text: &str) -> Option<Decimal> {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    Some(Decimal {
        units: format!("{whole}{decimals}").parse().ok()?,
        decimals: u8::try_from(decimals.len()).ok()?,
    })
}

/// Lists the values of a request; what is no value of the exercise is left out.
fn tell(value: &Value, path: &str, data: &mut Vec<Datum>) {
    let inside = |name: &str| {
        if path.is_empty() {
            name.to_owned()
        } else {
            format!("{path}.{name}")
        }
    };
    match value {
        Value::Object(fields) => {
            for (name, value) in fields.iter().filter(|(name, _)| *name != "workings") {
                tell(value, &inside(name), data);
            }
        }
        Value::Array(items) if items.iter().all(Value::is_number) => {
            let texts: Vec<_> = items.iter().map(text).collect();
            data.push(Datum::new(path, texts.join(", ")));
        }
        Value::Array(items) => {
            for (place, value) in items.iter().enumerate() {
                tell(value, &inside(&place.to_string()), data);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {
            data.push(Datum::new(path, text(value)));
        }
    }
}

fn text(value: &Value) -> String {
    value.as_f64().map_or_else(
        || {
            value
                .as_str()
                .map_or_else(|| value.to_string(), |word| word.replace('_', " "))
        },
        |number| format!("{number}"),
    )
}
