//! The data of an exercise, drawn from its seed.

use std::collections::HashMap;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::decimal::Decimal;
use super::generator::Draws;
use super::place;
use super::topic::{Draw, Number, Variant};
use crate::api::calendar::CalendarDate;
use crate::api::provenance::WorkingStep;
use crate::api::units::unit_of;

/// A quantity that an exercise gives.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Datum {
    /// Path of the field of the calculation's request, with dots.
    pub field: String,
    /// The value as it is told, without its unit.
    pub text: String,
    /// Its unit; left out where it has none.
    pub unit: Option<String>,
}

impl Datum {
    pub(super) fn new(field: &str, text: String) -> Self {
        let unit = unit_of(
            field
                .rsplit('.')
                .find(|part| part.parse::<usize>().is_err())
                .unwrap_or(field),
        );
        Self {
            field: field.to_owned(),
            text,
            unit: (unit != "1").then(|| unit.to_owned()),
        }
    }

    /// A step of the workings that is given away, to five figures.
    pub(super) fn of_step(name: &str, step: &WorkingStep) -> Self {
        let unit = step.unit.to_string();
        Self {
            field: name.to_owned(),
            text: five_figures(step.value),
            unit: (unit != "1").then_some(unit),
        }
    }

    /// The value with its unit.
    #[must_use]
    pub fn told(&self) -> String {
        match &self.unit {
            Some(unit) if unit == "d" => format!("{} days", self.text),
            Some(unit) => format!("{} {unit}", self.text),
            None => self.text.clone(),
        }
    }
}

/// A request of the calculation, and the part of it that is told.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub(super) request: Value,
    pub(super) data: Vec<Datum>,
    numbers: HashMap<&'static str, Decimal>,
}

impl Drawn {
    /// The fields of a variant.
    pub(super) fn of(variant: &Variant, draws: &mut Draws) -> Self {
        let mut drawn = Self {
            request: Value::Object(serde_json::Map::new()),
            data: Vec::new(),
            numbers: HashMap::new(),
        };
        for (field, value) in variant.fixed {
            place::set(&mut drawn.request, field, (*value).into());
        }
        for draw in variant.draws {
            drawn.draw(draw, draws);
        }
        drawn
    }

    fn draw(&mut self, draw: &Draw, draws: &mut Draws) {
        match draw {
            Draw::Between(number) => {
                let units = any(number, draws);
                self.put(number, decimal(number, units));
            }
            Draw::Times(of, number) => {
                let hundredths = any(number, draws);
                let of = self.numbers.get(of).copied();
                let value = of.map(|of| of.times_hundredths(hundredths, number.decimals));
                self.put_known(number, value);
            }
            Draw::Plus(of, number) => {
                let units = any(number, draws);
                let of = self.numbers.get(of).copied();
                self.put_known(number, of.map(|of| of.plus(units, number.decimals)));
            }
            Draw::Readings(count, spread, number) => {
                let readings = around(number, (*count, *spread), draws);
                self.put_list(number, &readings);
            }
            Draw::Rows(list, count, spread, number) => {
                let readings = around(number, (*count, *spread), draws);
                self.put_rows(list, number.field, &readings);
            }
            Draw::Word(field, words) => {
                let place = draws.place(words.len());
                self.put_word(field, words.get(place).copied().unwrap_or_default());
            }
            Draw::Day(from, number) => {
                let days = any(number, draws);
                self.put_day(from, number.field, days);
            }
        }
    }

    fn put_word(&mut self, field: &str, word: &str) {
        place::set(&mut self.request, field, word.into());
        self.data.push(Datum::new(field, word.replace('_', "-")));
    }

    fn put_known(&mut self, number: &Number, value: Option<Decimal>) {
        if let Some(value) = value {
            self.put(number, value);
        }
    }

    fn put(&mut self, number: &Number, value: Decimal) {
        self.numbers.insert(number.field, value);
        place::set(&mut self.request, number.field, json_of(value));
        self.data.push(Datum::new(number.field, value.text()));
    }

    fn put_list(&mut self, number: &Number, readings: &[Decimal]) {
        let values: Vec<Value> = readings.iter().copied().map(json_of).collect();
        let texts: Vec<String> = readings.iter().map(|reading| reading.text()).collect();
        place::set(&mut self.request, number.field, values.into());
        self.data.push(Datum::new(number.field, texts.join(", ")));
    }

    fn put_rows(&mut self, list: &str, field: &str, readings: &[Decimal]) {
        for (reading, place) in readings.iter().zip(0..) {
            let path = format!("{list}.{place}.{field}");
            place::set(&mut self.request, &path, json_of(*reading));
        }
        let texts: Vec<String> = readings.iter().map(|reading| reading.text()).collect();
        let field = format!("{list}.{field}");
        self.data.push(Datum::new(&field, texts.join(", ")));
    }

    /// A day after a field drawn before, or after the day that `from` is.
    fn put_day(&mut self, from: &str, field: &str, days: i64) {
        let known = place::get(&self.request, from).and_then(Value::as_str);
        let day = CalendarDate::parse(known.unwrap_or(from));
        #[expect(clippy::cast_precision_loss, reason = "a few hundred days")]
        let Some(day) = day.and_then(|day| day.plus_days(days as f64)) else {
            return;
        };
        place::set(&mut self.request, field, day.to_string().into());
        self.data.push(Datum::new(field, day.to_string()));
    }
}

fn five_figures(value: f64) -> String {
    let digits = libm::floor(libm::log10(libm::fabs(value)));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 12"
    )]
    let decimals = (4.0 - digits).clamp(0.0, 12.0) as usize;
    format!("{value:.decimals$}").replace('-', "−")
}

fn any(number: &Number, draws: &mut Draws) -> i64 {
    draws.between(number.min, number.max)
}

/// Numbers around one drawn: how many, and how far from it at most.
fn around(number: &Number, (count, spread): (u8, i64), draws: &mut Draws) -> Vec<Decimal> {
    let middle = any(number, draws);
    let reading = |_| decimal(number, middle + draws.between(-spread, spread));
    (0..count).map(reading).collect()
}

const fn decimal(number: &Number, units: i64) -> Decimal {
    Decimal {
        units,
        decimals: number.decimals,
    }
}

/// A number without decimals stays whole, as fields for counts want it.
fn json_of(value: Decimal) -> Value {
    if value.decimals == 0 {
        value.units.into()
    } else {
        value.value().into()
    }
}
