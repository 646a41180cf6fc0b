//! What a topic is, as data: which fields are drawn, what is told, what is asked, and how it is
//! usually got wrong.

use super::diagnosis::DiagnosisCode;

/// A topic: a calculation, and the exercises that are made of it.
#[derive(Debug, Clone, Copy)]
pub struct Topic {
    /// The calculation that answers it.
    pub name: &'static str,
    /// Its exercises: one at least of each level.
    pub variants: &'static [Variant],
}

/// One kind of exercise.
#[derive(Debug, Clone, Copy)]
pub struct Variant {
    /// How hard it is, from 1 to 3.
    pub level: u8,
    /// The situation, with the names of drawn fields in braces: `{dose_g}` with its unit,
    /// `{dose_g:bare}` without. A step of the workings stands in double ones: `{{log_k2}}` gives its
    /// value away to five figures, where no student could find it out.
    pub told: &'static str,
    /// Fields that are the same for every seed.
    pub fixed: &'static [(&'static str, Fixed)],
    /// Fields that are drawn, in this order.
    pub draws: &'static [Draw],
    /// Steps of the workings that are asked for.
    pub asks: &'static [Ask],
    /// Wrong ways that are told apart.
    pub slips: &'static [Slip],
}

/// A value of a field that is not drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fixed {
    /// A word or a text.
    Word(&'static str),
    /// A number.
    Number(f64),
    /// A count.
    Count(u32),
    /// True or false.
    Flag(bool),
}

/// How a field is drawn. Numbers are whole numbers of units in their last decimal.
#[derive(Debug, Clone, Copy)]
pub enum Draw {
    /// A number between two others.
    Between(Number),
    /// Another field, drawn before, times a factor in hundredths.
    Times(&'static str, Number),
    /// Another field, drawn before, plus a number.
    Plus(&'static str, Number),
    /// Repeated readings around a number: how many, and how far from it at most.
    Readings(u8, i64, Number),
    /// The same field in each row of a list, around a number: the list, how many rows, and how far
    /// from the number at most. Told together, as `{list.field}`.
    Rows(&'static str, u8, i64, Number),
    /// One of some words.
    Word(&'static str, &'static [&'static str]),
    /// A day, so many days after another one or after a field drawn before.
    Day(&'static str, Number),
}

/// A number to be drawn: field, least, most, and decimals.
#[derive(Debug, Clone, Copy)]
pub struct Number {
    /// Path of the field, with dots.
    pub field: &'static str,
    /// Least.
    pub min: i64,
    /// Most.
    pub max: i64,
    /// Decimals that it is written with.
    pub decimals: u8,
}

/// A number between two others.
pub(super) const fn between(field: &'static str, (min, max): (i64, i64), decimals: u8) -> Draw {
    Draw::Between(number(field, (min, max), decimals))
}

/// A number to be drawn.
pub(super) const fn number(field: &'static str, (min, max): (i64, i64), decimals: u8) -> Number {
    Number {
        field,
        min,
        max,
        decimals,
    }
}

/// A step that is asked for.
#[derive(Debug, Clone, Copy)]
pub struct Ask {
    /// Name of the step in the workings.
    pub step: &'static str,
    /// What it is called in a question.
    pub words: &'static str,
    /// Significant figures wanted.
    pub figures: u8,
    /// Its unit, where the calculation does not know it.
    pub unit: Option<&'static str>,
    /// Path of the step's standard uncertainty in the answer, where it has one.
    pub uncertainty: Option<&'static str>,
}

/// A step asked for to three significant figures, and what it is called.
pub(super) const fn ask(step: &'static str, words: &'static str) -> Ask {
    Ask {
        step,
        words,
        figures: 3,
        unit: None,
        uncertainty: None,
    }
}

impl Ask {
    /// The same to so many significant figures.
    pub(super) const fn to(self, figures: u8) -> Self {
        Self { figures, ..self }
    }

    /// The same in a unit that the calculation does not know.
    pub(super) const fn in_unit(self, unit: &'static str) -> Self {
        Self {
            unit: Some(unit),
            ..self
        }
    }

    /// The same with the path of its standard uncertainty.
    pub(super) const fn within(self, uncertainty: &'static str) -> Self {
        Self {
            uncertainty: Some(uncertainty),
            ..self
        }
    }
}

/// A wrong way: the calculation is asked something else than the exercise asks.
#[derive(Debug, Clone, Copy)]
pub struct Slip {
    /// What it is called.
    pub code: DiagnosisCode,
    /// What is done to the request.
    pub changes: &'static [Change],
    /// What is done to a step of the answer: its name, and a factor.
    pub scaled: Option<(&'static str, f64)>,
}

/// A wrong way by a wrong request.
pub(super) const fn slip(code: DiagnosisCode, changes: &'static [Change]) -> Slip {
    Slip {
        code,
        changes,
        scaled: None,
    }
}

/// A wrong way that makes one step so many times as large.
pub(super) const fn times(code: DiagnosisCode, step: &'static str, factor: f64) -> Slip {
    Slip {
        code,
        changes: &[],
        scaled: Some((step, factor)),
    }
}

/// What a wrong way does to a request; fields by their paths.
#[derive(Debug, Clone, Copy)]
pub enum Change {
    /// Two fields exchange their values.
    Swap(&'static str, &'static str),
    /// A number is multiplied.
    Scale(&'static str, f64),
    /// A number is turned upside down.
    Invert(&'static str),
    /// From a number another one times a factor is taken away.
    Less(&'static str, &'static str, f64),
    /// A field gets a value.
    Set(&'static str, Fixed),
    /// A value is taken for that of another field.
    Move(&'static str, &'static str),
    /// A field is forgotten.
    Drop(&'static str),
}
