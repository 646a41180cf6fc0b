//! The main outputs of an answer as a till or a phone shows them: rounded, with their unit.

use serde_json::{Map, Value};

use super::calculation::Headline;
use super::paths::{place_at, value_at};
use super::units::unit_of_path;

/// The headlines of an answer as texts, each where the output itself stands.
///
/// A headline that this answer does not have is left out.
#[must_use]
pub fn of(headlines: &[Headline], answer: &Value, decimal_comma: bool) -> Value {
    let mut shown = Value::Object(Map::new());
    for headline in headlines {
        let value = value_at(answer, headline.path);
        let Some(text) = value.and_then(|value| text(value, headline, decimal_comma)) else {
            continue;
        };
        if let Some(place) = place_at(&mut shown, headline.path) {
            *place = text.into();
        }
    }
    shown
}

/// A number as a headline shows it.
pub(crate) fn number(value: f64, headline: &Headline, decimal_comma: bool) -> String {
    let mut text = rounded(value, headline.decimals);
    if decimal_comma {
        text = text.replace('.', ",");
    }
    match unit_of_path(headline.path) {
        "1" => text,
        unit => format!("{text} {unit}"),
    }
}

fn text(value: &Value, headline: &Headline, decimal_comma: bool) -> Option<String> {
    match value {
        Value::Number(value) => Some(number(value.as_f64()?, headline, decimal_comma)),
        Value::String(text) => Some(text.clone()),
        Value::Bool(flag) => Some(flag.to_string()),
        Value::Null | Value::Array(_) | Value::Object(_) => None,
    }
}

/// A number with so many decimals; a zero has no sign.
fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let is_zero = text.bytes().all(|byte| b"-0.".contains(&byte));
    match text.strip_prefix('-') {
        Some(unsigned) if is_zero => unsigned.to_owned(),
        Some(_) | None => text,
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::{of, rounded};
    use crate::api::calculation::Headline;

    #[test]
    fn headlines_are_rounded_where_they_stand_and_carry_their_unit() {
        let headlines = [
            Headline::new("dose_g", 1),
            Headline::new("uncertainty.expanded_points", 2),
            Headline::new("brew_ratio", 2),
            Headline::new("fits", 0),
            Headline::new("absent_c", 1),
        ];
        let answer = json!({
            "dose_g": 18.26, "uncertainty": {"expanded_points": 0.417, "k": 2}, "brew_ratio": 2, "fits": true,
        });
        assert_eq!(
            of(&headlines, &answer, false),
            json!({
                "dose_g": "18.3 g", "uncertainty": {"expanded_points": "0.42 percentage points"},
                "brew_ratio": "2.00", "fits": "true",
            })
        );
        assert_eq!(of(&headlines, &answer, true)["dose_g"], "18,3 g");
    }

    #[test]
    fn a_number_that_rounds_to_zero_has_no_sign() {
        assert_eq!(rounded(-0.04, 1), "0.0");
        assert_eq!(rounded(-0.06, 1), "-0.1");
        assert_eq!(rounded(2.0, 0), "2");
    }
}
