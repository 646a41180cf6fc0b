//! The main outputs of an answer as a till or a phone shows them: rounded, with their unit.

use serde_json::{Map, Value};

use super::calculation::Headline;
use super::units::unit_of_path;

/// The headlines of an answer as texts, each where the output itself stands.
///
/// A headline that this answer does not have is left out.
#[must_use]
pub fn of(headlines: &[Headline], answer: &Value, decimal_comma: bool) -> Value {
    let mut shown = Value::Object(Map::new());
    for headline in headlines {
        let mut names = headline.path.split('.');
        let value = names
            .clone()
            .try_fold(answer, |value, name| value.get(name));
        let Some(text) = value.and_then(|value| text(value, headline, decimal_comma)) else {
            continue;
        };
        let place = names.try_fold(&mut shown, |place, name| {
            Some(
                place
                    .as_object_mut()?
                    .entry(name)
                    .or_insert_with(|| Value::Object(Map::new())),
            )
        });
        if let Some(place) = place {
            *place = text.into();
        }
    }
    shown
}

fn text(value: &Value, headline: &Headline, decimal_comma: bool) -> Option<String> {
    match value {
        Value::Number(number) => {
            let mut text = rounded(number.as_f64()?, headline.decimals);
            if decimal_comma {
                text = text.replace('.', ",");
            }
            match unit_of_path(headline.path) {
                "1" => Some(text),
                unit => Some(format!("{text} {unit}")),
            }
        }
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
