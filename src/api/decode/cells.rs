//! A request out of names and texts: a query, or a row under its header.
//!
//! A serde deserialiser straight from the texts into the typed request, without a tree
//! between and without an allocation for a number. It refuses without saying why; whoever is
//! refused is read again into the tree that `faults` judges.

use std::fmt;

use serde::de::value::BorrowedStrDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, IntoDeserializer, MapAccess, SeqAccess,
    Visitor,
};
use serde::forward_to_deserialize_any;

use super::number::{Decimal, NotANumber, number};
use super::tree::Node;
use crate::api::shape::{Field, Shape};

/// How the texts of a form are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Writing {
    /// What stands between the items of a list.
    pub list: char,
    /// What marks the decimals of a number.
    pub decimal: Decimal,
}

impl Writing {
    /// A query: lists by comma.
    pub const QUERY: Self = Self {
        list: ',',
        decimal: Decimal::Point,
    };

    /// A row: lists by bar.
    #[must_use]
    pub const fn row(decimal: Decimal) -> Self {
        Self { list: '|', decimal }
    }
}

/// The fields of a request as texts: `text[spans[i]]` is the value of `names[i]`. An empty
/// text is an absent field.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'a> {
    /// Names of the fields.
    pub names: &'a [&'a str],
    /// All values, one after the other.
    pub text: &'a str,
    /// Where each value begins and ends.
    pub spans: &'a [(usize, usize)],
    /// How the values are written.
    pub writing: Writing,
}

impl<'a> Fields<'a> {
    /// Names and values in order.
    pub(crate) fn pairs(self) -> impl Iterator<Item = (&'a str, &'a str)> {
        let value = move |(begin, end): &(usize, usize)| self.text.get(*begin..*end);
        self.names
            .iter()
            .zip(self.spans)
            .map(move |(name, span)| (*name, value(span).unwrap_or_default()))
    }
}

/// A text that the request has no place for.
#[derive(Debug)]
pub(super) struct Refused;

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value that does not fit its field")
    }
}

impl std::error::Error for Refused {}

impl serde::de::Error for Refused {
    fn custom<T: fmt::Display>(_message: T) -> Self {
        Self
    }
}

/// The request that the fields hold.
pub(super) fn read<R: DeserializeOwned>(fields: Fields<'_>, known: &[Field]) -> Result<R, Refused> {
    // an absent field is not handed to serde, so its name is looked at here
    let is_sound = |name: &str| {
        known.iter().any(|field| field.name == name)
            && fields.names.iter().filter(|other| **other == name).count() == 1
    };
    if fields
        .pairs()
        .any(|(name, text)| text.is_empty() && !is_sound(name))
    {
        return Err(Refused);
    }
    R::deserialize(Whole(fields))
}

struct Whole<'a>(Fields<'a>);

impl<'de> Deserializer<'de> for Whole<'de> {
    type Error = Refused;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_map(Pairs {
            rest: self.0.pairs().filter(|(_, text)| !text.is_empty()),
            value: "",
            writing: self.0.writing,
        })
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

struct Pairs<'de, I> {
    rest: I,
    value: &'de str,
    writing: Writing,
}

impl<'de, I: Iterator<Item = (&'de str, &'de str)>> MapAccess<'de> for Pairs<'de, I> {
    type Error = Refused;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Refused> {
        let Some((name, value)) = self.rest.next() else {
            return Ok(None);
        };
        self.value = value;
        seed.deserialize(BorrowedStrDeserializer::new(name))
            .map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Refused> {
        seed.deserialize(Cell(self.value, self.writing))
    }
}

struct Items<'de>(Option<&'de str>, Writing);

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = Refused;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Refused> {
        let Some(rest) = self.0 else {
            return Ok(None);
        };
        let item = match rest.split_once(self.1.list) {
            Some((item, rest)) => {
                self.0 = Some(rest);
                item
            }
            None => {
                self.0 = None;
                rest
            }
        };
        seed.deserialize(Cell(item, self.1)).map(Some)
    }
}

/// One value.
struct Cell<'de>(&'de str, Writing);

impl Cell<'_> {
    fn number(&self) -> Result<f64, Refused> {
        number(self.0, self.1.decimal).map_err(|_| Refused)
    }

    /// A whole number, also when a spreadsheet wrote it as `3.0`.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole and inside the exact integers of a double"
    )]
    fn whole(&self) -> Result<i64, Refused> {
        const LARGEST_EXACT: f64 = 9_007_199_254_740_992.0;
        let value = self.number()?;
        if libm::trunc(value).to_bits() == value.to_bits() && libm::fabs(value) <= LARGEST_EXACT {
            Ok(value as i64)
        } else {
            Err(Refused)
        }
    }
}

/// True or false; spreadsheets write them in capitals.
fn flag(text: &str) -> Option<bool> {
    let text = text.trim_ascii();
    if text.eq_ignore_ascii_case("true") {
        Some(true)
    } else {
        text.eq_ignore_ascii_case("false").then_some(false)
    }
}

macro_rules! whole_numbers {
    ($($method:ident)*) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
            match self.0.parse::<u64>() {
                Ok(value) if !self.0.starts_with('+') => visitor.visit_u64(value),
                Ok(_) | Err(_) => visitor.visit_i64(self.whole()?),
            }
        })*
    };
}

impl<'de> Deserializer<'de> for Cell<'de> {
    type Error = Refused;

    whole_numbers! {
        deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64
        deserialize_u8 deserialize_u16 deserialize_u32 deserialize_u64
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_f64(self.number()?)
    }

    fn deserialize_f32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_f64(self.number()?)
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_bool(flag(self.0).ok_or(Refused)?)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Refused> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_seq(Items(Some(self.0), self.1))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Refused> {
        visitor.visit_enum(self.0.trim_ascii().into_deserializer())
    }

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_borrowed_str(self.0)
    }

    forward_to_deserialize_any! {
        i128 u128 char str string bytes byte_buf unit unit_struct tuple tuple_struct map struct
        identifier ignored_any
    }
}

/// The fields as the tree that a refused request is judged by.
pub(super) fn tree(fields: Fields<'_>, shape: &Shape) -> Node {
    let known = shape.fields();
    let node = |name: &str, text: &str| match known.iter().find(|field| field.name == name) {
        None => Node::Unknown,
        Some(_) if text.is_empty() => Node::Null,
        Some(field) => node(text, &field.shape, fields.writing),
    };
    let all = fields
        .pairs()
        .map(|(name, text)| (name.to_owned(), node(name, text)));
    // a flood of names is told by its first ones
    Node::Object(all.take(known.len() + 2 * super::MOST_FAULTS).collect())
}

fn node(text: &str, shape: &Shape, writing: Writing) -> Node {
    match shape {
        Shape::Number(_) => match number(text, writing.decimal) {
            Ok(value) => Node::Number(value),
            Err(NotANumber::NotFinite) => Node::NotFinite(text.to_owned()),
            Err(NotANumber::Word) => Node::Text(text.to_owned()),
        },
        Shape::Flag => flag(text).map_or_else(|| Node::Text(text.to_owned()), |_| Node::Flag),
        Shape::Text { words, .. } if words.is_empty() => Node::Text(text.to_owned()),
        Shape::Text { .. } => Node::Text(text.trim_ascii().to_owned()),
        Shape::List {
            item, max_items, ..
        } => {
            let count = text.split(writing.list).count();
            let items = text.split(writing.list).take(*max_items);
            Node::List(items.map(|text| node(text, item, writing)).collect(), count)
        }
        Shape::Object(_) => Node::Unknown,
    }
}
