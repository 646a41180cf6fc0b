//! Marks of a student's answers, step by step, and what went wrong where it can be told.

use serde_json::{Value, json};

use super::diagnosis::DiagnosisCode;
use super::exercise::{Asked, Exercise, MARKS_PER_STEP};
use super::spelling;
use super::tolerance::Tolerance;
use crate::api::calculation::Call;
use crate::api::registry;

/// An answer to one step.
#[derive(Debug, Clone, Copy)]
pub struct Given<'a> {
    /// The number.
    pub value: f64,
    /// Its unit; the one asked for when there is none.
    pub unit: Option<&'a str>,
}

/// How an answer was judged.
#[derive(Debug, Clone, Copy)]
pub struct Judged {
    /// Marks given.
    pub marks: u32,
    /// What went wrong; none when nothing did.
    pub diagnosis: Option<DiagnosisCode>,
    /// Whether the same mistake has cost marks in an earlier step, and this one follows from it.
    pub is_carried_forward: bool,
    /// How near the answer had to be.
    pub tolerance: Tolerance,
}

/// The judgements of all steps asked, in their order.
#[must_use]
pub fn judged(exercise: &Exercise, given: &[Option<Given<'_>>], call: &Call<'_>) -> Vec<Judged> {
    let wrong: Vec<_> = exercise
        .slips
        .iter()
        .map(|slip| (slip.code, exercise.wrong_values(slip, call)))
        .collect();
    let mut all: Vec<Judged> = Vec::with_capacity(exercise.asked.len());
    for (asked, given) in exercise.asked.iter().zip(given) {
        let tolerance = asked.tolerance();
        let (diagnosis, is_slip) = match given {
            None => (Some(DiagnosisCode::Missing), false),
            Some(given) => Judge {
                asked,
                tolerance,
                call,
            }
            .diagnosis(*given, &wrong),
        };
        let before = all.iter().any(|other| other.diagnosis == diagnosis);
        let is_carried_forward = is_slip && before;
        all.push(Judged {
            marks: marks(diagnosis, is_carried_forward),
            diagnosis,
            is_carried_forward,
            tolerance,
        });
    }
    all
}

/// All marks when nothing is wrong, and half of them for what is right but for its form, or
/// follows rightly from a mistake that was counted before.
fn marks(diagnosis: Option<DiagnosisCode>, is_carried_forward: bool) -> u32 {
    match diagnosis {
        None => MARKS_PER_STEP,
        Some(DiagnosisCode::WrongUnit | DiagnosisCode::RoundedTooEarly) => MARKS_PER_STEP / 2,
        Some(_) if is_carried_forward => MARKS_PER_STEP / 2,
        Some(_) => 0,
    }
}

/// Values of the steps in each wrong way.
type Wrong = (DiagnosisCode, Vec<(String, f64)>);

struct Judge<'a> {
    asked: &'a Asked,
    tolerance: Tolerance,
    call: &'a Call<'a>,
}

impl Judge<'_> {
    /// What went wrong, and whether it is a wrong way of the topic.
    fn diagnosis(&self, given: Given<'_>, wrong: &[Wrong]) -> (Option<DiagnosisCode>, bool) {
        let meant = given.unit.map(spelling::unit_meant);
        let is_right = self.is_near(given.value, self.asked.value);
        match meant.as_deref().filter(|unit| !self.is_unit(unit)) {
            None if is_right => return (None, false),
            None => {}
            Some(unit) => {
                if is_right || self.is_in(given.value, |name| name == unit) {
                    return (Some(DiagnosisCode::WrongUnit), false);
                }
                let is_said = match unit {
                    "1" => self.is_percentage(),
                    "%" => self.is_fraction(),
                    _ => false,
                };
                if is_said && self.is_hundred_off(given.value) {
                    return (Some(DiagnosisCode::WrongUnit), false);
                }
            }
        }
        if let Some(code) = self.wrong_way(given.value, wrong) {
            return (Some(code), true);
        }
        (Some(self.general(given.value)), false)
    }

    /// The unit asked for, or one that says the same.
    fn is_unit(&self, unit: &str) -> bool {
        let wanted = spelling::unit_meant(&self.asked.unit);
        unit == wanted
            || (wanted == "percentage points" && unit == "%")
            || (wanted == "mg/L as CaCO3" && unit == "mg/L")
            || unit.eq_ignore_ascii_case(&self.asked.unit)
    }

    /// The first wrong way that gives this value, and not the right one.
    fn wrong_way(&self, value: f64, wrong: &[Wrong]) -> Option<DiagnosisCode> {
        let is_it = |(step, expected): &(String, f64)| {
            let near = Tolerance::of(*expected, self.asked.figures, None);
            *step == self.asked.step
                && near.holds(value, *expected)
                && !self.is_near(*expected, self.asked.value)
        };
        let found = wrong.iter().find(|(_, steps)| steps.iter().any(is_it));
        found.map(|(code, _)| *code)
    }

    /// Mistakes that any topic knows.
    fn general(&self, value: f64) -> DiagnosisCode {
        let asked = self.asked;
        if self.tolerance.nearly_holds(value, asked.value) {
            return DiagnosisCode::RoundedTooEarly;
        }
        if self.is_in(value, |_| true) {
            return DiagnosisCode::WrongUnit;
        }
        if (self.is_percentage() || self.is_fraction()) && self.is_hundred_off(value) {
            return DiagnosisCode::PercentForFraction;
        }
        if self.is_near(-value, asked.value) {
            return DiagnosisCode::WrongSign;
        }
        if asked.unit == "1" && value.abs() > 0.0 && self.is_near(1.0 / value, asked.value) {
            return DiagnosisCode::UpsideDown;
        }
        let powers = [
            1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.1, 10.0, 1e2, 1e3, 1e4, 1e5, 1e6,
        ];
        if powers
            .iter()
            .any(|power| self.is_near(value * power, asked.value))
        {
            return DiagnosisCode::DecimalPoint;
        }
        DiagnosisCode::NotTold
    }

    fn is_near(&self, value: f64, expected: f64) -> bool {
        self.tolerance.holds(value, expected)
    }

    fn is_percentage(&self) -> bool {
        ["%", "percentage points"].contains(&self.asked.unit.as_str())
    }

    /// Whether the step may be a share of one.
    fn is_fraction(&self) -> bool {
        self.asked.unit == "1" && self.asked.value.abs() <= 1.0
    }

    /// Whether a percentage stands for a fraction, or the other way round.
    fn is_hundred_off(&self, value: f64) -> bool {
        let [more, less] = [value * 100.0, value / 100.0];
        let expected = self.asked.value;
        (self.is_percentage() && self.is_near(more, expected)) || self.is_near(less, expected)
    }

    /// Whether a value is the right one in another unit of those wanted.
    fn is_in(&self, value: f64, is_wanted: impl Fn(&str) -> bool) -> bool {
        let Some((from, others)) = spelling::others(&self.asked.unit) else {
            return false;
        };
        let mut wanted = others.iter().filter(|(name, _)| is_wanted(name));
        wanted.any(|(_, to)| {
            self.converted(from, to).is_some_and(|expected| {
                let figures = self.asked.figures.max(3);
                Tolerance::of(expected, figures, None).holds(value, expected)
                    || self.rounded_in(from, to, value)
            })
        })
    }

    /// Whether a value, brought back to the unit asked for, is the right one.
    fn rounded_in(&self, from: &str, to: &str, value: f64) -> bool {
        let back = convert(value, (to, from), self.call);
        back.is_some_and(|back| self.is_near(back, self.asked.value))
    }

    fn converted(&self, from: &str, to: &str) -> Option<f64> {
        convert(self.asked.value, (from, to), self.call)
    }
}

/// A value in another unit, as `unit-conversion` answers it.
fn convert(value: f64, (from, to): (&str, &str), call: &Call<'_>) -> Option<f64> {
    let request = json!({"value": value, "from_unit": from, "to_unit": to});
    let entry = registry::find("unit-conversion")?;
    let mut out = Vec::new();
    entry
        .answer(request.to_string().as_bytes(), call, &mut out)
        .ok()?;
    let answer: Value = serde_json::from_slice(&out).ok()?;
    answer["converted_value"].as_f64()
}
