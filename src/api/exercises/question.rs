//! The words of a question: the situation with its data put in, and what is to be found.

use super::drawn::Datum;
use super::exercise::Asked;

/// The situation with the data put in, with their units or bare.
pub(super) fn told(text: &str, data: &[Datum]) -> String {
    data.iter().fold(text.to_owned(), |text, datum| {
        text.replace(&format!("{{{{{}}}}}", datum.field), &datum.told())
            .replace(&format!("{{{}:bare}}", datum.field), &datum.text)
            .replace(&format!("{{{}}}", datum.field), &datum.told())
    })
}

/// What is to be found, step by step.
pub(super) fn task(asked: &[Asked]) -> String {
    if let [only] = asked {
        return format!("Find {}, {}.", wanted(only), figures(only.figures));
    }
    let lettered = asked.iter().zip('a'..='z');
    let first = asked.first().map_or(0, |asked| asked.figures);
    if asked.iter().all(|asked| asked.figures == first) {
        let parts: Vec<_> = lettered
            .map(|(asked, letter)| format!("({letter}) {}", wanted(asked)))
            .collect();
        return format!("Find {}. Give each {}.", parts.join("; "), figures(first));
    }
    let parts: Vec<_> = lettered
        .map(|(asked, letter)| {
            let figures = figures(asked.figures);
            format!("({letter}) {}, {figures}", wanted(asked))
        })
        .collect();
    format!("Find {}.", parts.join("; "))
}

/// What a step is called, and its unit where it has one.
fn wanted(asked: &Asked) -> String {
    match asked.unit.as_str() {
        "1" => asked.words.to_owned(),
        "d" => format!("{}, in days", asked.words),
        unit => format!("{}, in {unit}", asked.words),
    }
}

fn figures(count: u8) -> String {
    format!("to {count} significant figures")
}

#[cfg(test)]
mod tests {
    use super::{Asked, Datum, task, told};

    fn asked(words: &'static str, unit: &str, figures: u8) -> Asked {
        Asked {
            step: String::new(),
            words,
            figures,
            value: 1.0,
            unit: unit.to_owned(),
            uncertainty: None,
        }
    }

    #[test]
    fn data_are_told_with_their_units_or_bare() {
        let data = [
            Datum::new("dose_g", "18.0".to_owned()),
            Datum::new("log_k2", "−10.3".to_owned()),
        ];
        let text = told("{dose_g}, {dose_g:bare}, {{log_k2}}", &data);
        assert_eq!(text, "18.0 g, 18.0, −10.3");
    }

    #[test]
    fn a_task_names_unit_and_figures() {
        let (mass, ratio) = (asked("the mass", "g", 3), asked("the ratio", "1", 3));
        let days = asked("the age", "d", 2);
        assert_eq!(
            task(std::slice::from_ref(&mass)),
            "Find the mass, in g, to 3 significant figures."
        );
        assert_eq!(
            task(&[mass.clone(), ratio.clone()]),
            "Find (a) the mass, in g; (b) the ratio. Give each to 3 significant figures."
        );
        assert_eq!(
            task(&[ratio, days]),
            "Find (a) the ratio, to 3 significant figures; (b) the age, in days, to 2 significant figures."
        );
    }
}
