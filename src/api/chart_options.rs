//! How a chart is to be drawn: the query parameters that belong to no calculation.

use super::decode::{self, MOST_FAULTS};
use super::picture::theme::Theme;
use super::problem::{Fault, FaultCode, Problem};
use super::query;

/// Most characters of a title.
pub const TITLE_CHARACTERS: usize = 120;
/// Narrowest and widest sheet, in pixels, and the usual one.
pub const WIDTH: (u16, u16, u16) = (300, 2000, 800);

/// Form of a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChartFormat {
    /// Vectors, with text as text.
    Svg,
    /// The same picture in pixels.
    Png,
}

impl ChartFormat {
    /// All forms by their words in a query.
    pub const WORDS: [(&'static str, Self); 2] = [("svg", Self::Svg), ("png", Self::Png)];
}

/// How a chart is to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartOptions {
    /// Form of the picture; without one, `Accept` decides.
    pub format: Option<ChartFormat>,
    /// Width in pixels.
    pub width: f64,
    /// Colours.
    pub theme: Theme,
    /// Title in place of the chart's own.
    pub title: Option<String>,
}

impl Default for ChartOptions {
    fn default() -> Self {
        Self {
            format: None,
            width: f64::from(WIDTH.2),
            theme: Theme::default(),
            title: None,
        }
    }
}

/// A query of a chart taken apart.
#[derive(Debug, Default)]
pub struct Asked {
    /// How to draw.
    pub options: ChartOptions,
    /// What is wrong with the parameters that say so.
    pub faults: Vec<Fault>,
    /// The other names and values.
    pub pairs: Vec<(String, String)>,
}

impl Asked {
    /// What a query string asks for.
    ///
    /// # Errors
    /// 400 for a broken query.
    pub fn parse(query: &str) -> Result<Self, Problem> {
        let mut asked = Self::default();
        let mut seen: Vec<String> = Vec::new();
        for (name, value) in query::parse(query)? {
            let code = match asked.options.set(&name, &value) {
                Taken::NotOurs => {
                    asked.pairs.push((name, value));
                    continue;
                }
                Taken::Wrong(fault) => Some(*fault),
                Taken::Well => None,
            };
            if seen.contains(&name) {
                let detail = "the parameter is given more than once";
                let fault = Fault::new(format!("/{name}"), FaultCode::DuplicateField, detail);
                asked.faults.push(fault);
            }
            asked.faults.extend(code);
            seen.push(name);
        }
        Ok(asked)
    }

    /// The same beside a body, where every other name is a fault.
    ///
    /// # Errors
    /// 400 for a broken query, 422 with every fault named.
    pub fn beside_body(query: &str) -> Result<ChartOptions, Problem> {
        let mut asked = Self::parse(query)?;
        let unknown = asked.pairs.iter().take(MOST_FAULTS).map(|(name, _)| {
            let detail = "there is no such query parameter beside a body; there are `format`, `width`, `theme` \
                and `title`, and the fields stand in the body";
            let pointer = format!("/{}", decode::pointer_part(name));
            Fault::new(pointer, FaultCode::UnknownField, detail)
        });
        asked.faults.extend(unknown);
        if asked.faults.is_empty() {
            Ok(asked.options)
        } else {
            Err(Problem::invalid(asked.faults))
        }
    }
}

/// Names that are set aside.
const OURS: [&str; 4] = ["format", "theme", "width", "title"];

enum Taken {
    Well,
    Wrong(Box<Fault>),
    NotOurs,
}

impl ChartOptions {
    fn set(&mut self, name: &str, value: &str) -> Taken {
        if value.is_empty() && OURS.contains(&name) {
            // forms send what was left empty
            return Taken::Well;
        }
        let wrong = match name {
            "format" => match word(&ChartFormat::WORDS, value) {
                Ok(format) => {
                    self.format = Some(format);
                    None
                }
                Err(detail) => Some(Fault::new("/format", FaultCode::NotAllowed, detail)),
            },
            "theme" => match word(&Theme::WORDS, value) {
                Ok(theme) => {
                    self.theme = theme;
                    None
                }
                Err(detail) => Some(Fault::new("/theme", FaultCode::NotAllowed, detail)),
            },
            "width" => self.set_width(value),
            "title" if value.chars().count() > TITLE_CHARACTERS => {
                let detail = format!("a title has at most {TITLE_CHARACTERS} characters");
                Some(Fault::new("/title", FaultCode::TooLong, detail))
            }
            "title" => {
                // an empty one is a form that was left empty
                self.title = Some(value.trim().to_owned()).filter(|title| !title.is_empty());
                None
            }
            _ => return Taken::NotOurs,
        };
        wrong.map_or(Taken::Well, |fault| Taken::Wrong(Box::new(fault)))
    }

    fn set_width(&mut self, value: &str) -> Option<Fault> {
        let (least, most, _) = WIDTH;
        match value.parse::<u16>() {
            Ok(width) if (least..=most).contains(&width) => {
                self.width = f64::from(width);
                return None;
            }
            Ok(_) | Err(_) => {}
        }
        let is_number = decode::is_number(value, decode::Decimal::Point);
        let code = if is_number {
            FaultCode::OutOfRange
        } else {
            FaultCode::WrongType
        };
        let detail = format!("a whole number of pixels from {least} to {most} is needed");
        Some(Fault {
            minimum: is_number.then(|| f64::from(least)),
            maximum: is_number.then(|| f64::from(most)),
            ..Fault::new("/width", code, detail)
        })
    }
}

/// The value that a word stands for, or what is wrong with the word.
fn word<T: Copy>(words: &[(&str, T)], value: &str) -> Result<T, String> {
    let found = words.iter().find(|(word, _)| *word == value);
    found.map(|(_, meant)| *meant).ok_or_else(|| {
        let all: Vec<_> = words.iter().map(|(word, _)| *word).collect();
        format!("one of {} is needed", all.join(", "))
    })
}

#[cfg(test)]
mod tests {
    use super::{Asked, ChartFormat};

    fn faults(query: &str) -> Vec<(String, &'static str)> {
        let asked = Asked::parse(query).expect("a query");
        let faults = asked.faults.into_iter();
        faults.map(|f| (f.pointer, f.code.as_str())).collect()
    }

    #[test]
    fn what_is_not_about_drawing_stays() {
        let asked = Asked::parse("dose_g=18&format=png&width=400&select=x").expect("a query");
        assert_eq!(asked.options.format, Some(ChartFormat::Png));
        assert!((asked.options.width - 400.0).abs() < 1e-12);
        let names: Vec<_> = asked.pairs.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["dose_g", "select"]);
        assert!(asked.faults.is_empty());
    }

    #[test]
    fn every_wrong_value_is_named() {
        let long = "x".repeat(121);
        for (query, expected) in [
            ("format=gif", ("/format", "not_allowed")),
            ("theme=blue", ("/theme", "not_allowed")),
            ("width=299", ("/width", "out_of_range")),
            ("width=2001", ("/width", "out_of_range")),
            ("width=400.5", ("/width", "out_of_range")),
            ("width=wide", ("/width", "wrong_type")),
            (&format!("title={long}"), ("/title", "too_long")),
            ("theme=dark&theme=dark", ("/theme", "duplicate_field")),
        ] {
            let expected = (expected.0.to_owned(), expected.1);
            assert_eq!(faults(query), [expected], "{query}");
        }
    }
}
