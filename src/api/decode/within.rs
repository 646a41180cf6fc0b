//! Whether a typed request keeps its bounds and rules: a walk over its numbers, by serde.
//!
//! The walk follows the request's shape field by field, which holds because serde and the
//! schema both list the fields in the order of the struct; a test proves it for every
//! calculation.

use std::fmt;

use serde::ser::{Impossible, Serialize, SerializeSeq, SerializeStruct, Serializer};

use crate::api::shape::{Field, Plan, Presence, Shape};

/// Whether every number is finite and in range, and every rule kept.
pub(super) fn holds<R: Serialize>(request: &R, plan: &Plan) -> bool {
    match request.serialize(Walk(&plan.shape)) {
        Ok(present) => plan.rules_hold(present),
        Err(Outside) => false,
    }
}

/// A value that its shape does not allow.
#[derive(Debug)]
struct Outside;

impl fmt::Display for Outside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value outside its bounds")
    }
}

impl std::error::Error for Outside {}

impl serde::ser::Error for Outside {
    fn custom<T: fmt::Display>(_message: T) -> Self {
        Self
    }
}

/// Walks a value beside its shape. Answers 0 for an absent value, and for an object which of
/// its fields are present.
struct Walk<'s>(&'s Shape);

/// Present, for anything but an object.
const PRESENT: Presence = 1;

impl Walk<'_> {
    fn number(&self, value: f64) -> Result<Presence, Outside> {
        match self.0 {
            Shape::Number(interval) if interval.min <= value && value <= interval.max => {
                Ok(PRESENT)
            }
            Shape::Number(_)
            | Shape::Text { .. }
            | Shape::Flag
            | Shape::List { .. }
            | Shape::Object(_) => Err(Outside),
        }
    }
}

macro_rules! whole_numbers {
    ($($method:ident($kind:ty);)*) => {
        $(fn $method(self, value: $kind) -> Result<Presence, Outside> {
            self.number(f64::from(value))
        })*
    };
}

macro_rules! wide_numbers {
    ($($method:ident($kind:ty);)*) => {
        $(#[expect(clippy::cast_precision_loss, reason = "bounds are doubles; the ends are exact")]
        fn $method(self, value: $kind) -> Result<Presence, Outside> {
            self.number(value as f64)
        })*
    };
}

impl<'s> Serializer for Walk<'s> {
    type Ok = Presence;
    type Error = Outside;
    type SerializeSeq = Items<'s>;
    type SerializeTuple = Impossible<Presence, Outside>;
    type SerializeTupleStruct = Impossible<Presence, Outside>;
    type SerializeTupleVariant = Impossible<Presence, Outside>;
    type SerializeMap = Impossible<Presence, Outside>;
    type SerializeStruct = Fields<'s>;
    type SerializeStructVariant = Impossible<Presence, Outside>;

    fn serialize_f64(self, value: f64) -> Result<Presence, Outside> {
        self.number(value)
    }

    whole_numbers! {
        serialize_f32(f32); serialize_i8(i8); serialize_i16(i16); serialize_i32(i32);
        serialize_u8(u8); serialize_u16(u16); serialize_u32(u32);
    }

    wide_numbers! { serialize_i64(i64); serialize_u64(u64); }

    fn serialize_bool(self, _value: bool) -> Result<Presence, Outside> {
        Ok(PRESENT)
    }

    fn serialize_char(self, _value: char) -> Result<Presence, Outside> {
        Ok(PRESENT)
    }

    fn serialize_str(self, value: &str) -> Result<Presence, Outside> {
        match self.0 {
            Shape::Text {
                max_length: Some(most),
                ..
            } if value.chars().nth(*most).is_some() => Err(Outside),
            Shape::Text { words, .. } if !words.is_empty() && !words.iter().any(|w| w == value) => {
                Err(Outside)
            }
            Shape::Text { .. } if !value.contains('\0') => Ok(PRESENT),
            Shape::Text { .. }
            | Shape::Number(_)
            | Shape::Flag
            | Shape::List { .. }
            | Shape::Object(_) => Err(Outside),
        }
    }

    fn serialize_bytes(self, _value: &[u8]) -> Result<Presence, Outside> {
        Err(Outside)
    }

    fn serialize_none(self) -> Result<Presence, Outside> {
        Ok(0)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<Presence, Outside> {
        value.serialize(self).map(|_| PRESENT)
    }

    fn serialize_unit(self) -> Result<Presence, Outside> {
        Ok(0)
    }

    fn serialize_unit_struct(self, _name: &'static str) -> Result<Presence, Outside> {
        Ok(PRESENT)
    }

    fn serialize_unit_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
    ) -> Result<Presence, Outside> {
        Ok(PRESENT)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        value: &T,
    ) -> Result<Presence, Outside> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _value: &T,
    ) -> Result<Presence, Outside> {
        Err(Outside)
    }

    fn serialize_seq(self, _len: Option<usize>) -> Result<Items<'s>, Outside> {
        match self.0 {
            Shape::List {
                item,
                min_items,
                max_items,
            } => Ok(Items {
                item,
                count: 0,
                fewest: *min_items,
                most: *max_items,
            }),
            Shape::Number(_) | Shape::Text { .. } | Shape::Flag | Shape::Object(_) => Err(Outside),
        }
    }

    fn serialize_tuple(self, _len: usize) -> Result<Self::SerializeTuple, Outside> {
        Err(Outside)
    }

    fn serialize_tuple_struct(
        self,
        _name: &'static str,
        _len: usize,
    ) -> Result<Self::SerializeTupleStruct, Outside> {
        Err(Outside)
    }

    fn serialize_tuple_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _len: usize,
    ) -> Result<Self::SerializeTupleVariant, Outside> {
        Err(Outside)
    }

    fn serialize_map(self, _len: Option<usize>) -> Result<Self::SerializeMap, Outside> {
        Err(Outside)
    }

    fn serialize_struct(self, _name: &'static str, _len: usize) -> Result<Fields<'s>, Outside> {
        Ok(Fields {
            // an object without known fields is judged elsewhere: a recipe inside a menu
            is_judged_elsewhere: matches!(self.0, Shape::Object(known) if known.is_empty()),
            rest: self.0.fields(),
            bit: 1,
            present: 0,
        })
    }

    fn serialize_struct_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _len: usize,
    ) -> Result<Self::SerializeStructVariant, Outside> {
        Err(Outside)
    }
}

struct Items<'s> {
    item: &'s Shape,
    count: usize,
    fewest: usize,
    most: usize,
}

impl SerializeSeq for Items<'_> {
    type Ok = Presence;
    type Error = Outside;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Outside> {
        self.count += 1;
        value.serialize(Walk(self.item)).map(|_| ())
    }

    fn end(self) -> Result<Presence, Outside> {
        if self.fewest <= self.count && self.count <= self.most {
            Ok(PRESENT)
        } else {
            Err(Outside)
        }
    }
}

struct Fields<'s> {
    is_judged_elsewhere: bool,
    rest: &'s [Field],
    bit: Presence,
    present: Presence,
}

impl SerializeStruct for Fields<'_> {
    type Ok = Presence;
    type Error = Outside;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        key: &'static str,
        value: &T,
    ) -> Result<(), Outside> {
        if self.is_judged_elsewhere {
            return Ok(());
        }
        let [field, rest @ ..] = self.rest else {
            return Err(Outside);
        };
        debug_assert_eq!(
            field.name, key,
            "serde and the schema list the fields alike"
        );
        if value.serialize(Walk(&field.shape))? != 0 {
            self.present |= self.bit;
        }
        self.rest = rest;
        self.bit <<= 1;
        Ok(())
    }

    fn end(self) -> Result<Presence, Outside> {
        Ok(self.present)
    }
}
