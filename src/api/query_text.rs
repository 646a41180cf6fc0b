//! The query string that asks for what a typed request asks: the way back from
//! [`query::parse`](super::query::parse).

use std::fmt::{self, Write};

use serde::ser::{Impossible, Serialize, SerializeSeq, SerializeStruct, Serializer};

/// Longest address that is written, in bytes: what clients, proxies and spreadsheets still take.
pub const LONGEST: usize = 2000;

/// Appends a request to the path that `out` ends with, as `name=value&…`: the fields present, in their order, lists with commas.
///
/// # Errors
/// [`Unsayable`] when a field is an object, an empty list or an empty text, or a text with a
/// comma stands in a list; `out` then holds a part of it.
pub fn push<R: Serialize>(request: &R, out: &mut String) -> Result<(), Unsayable> {
    let part = Part {
        out,
        place: Place::Request,
    };
    request.serialize(part).map(|_| ())
}

/// A request that no query can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unsayable;

impl fmt::Display for Unsayable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a request that no query can hold")
    }
}

impl std::error::Error for Unsayable {}

impl serde::ser::Error for Unsayable {
    fn custom<T: fmt::Display>(_message: T) -> Self {
        Self
    }
}

/// Whether a value was written, or is absent.
type Written = Result<bool, Unsayable>;

/// Appends a text; everything but the unreserved characters of RFC 3986 is escaped.
pub fn push_escaped(text: &str, out: &mut String) {
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            // writing to a String cannot fail
            let _ = write!(out, "%{byte:02X}");
        }
    }
}

fn check_length(out: &str) -> Result<(), Unsayable> {
    if out.len() > LONGEST {
        Err(Unsayable)
    } else {
        Ok(())
    }
}

/// The shortest decimal that reads back as the same number.
fn push_number(value: f64, out: &mut String) {
    let mut digits = zmij::Buffer::new();
    let text = digits.format(value);
    let text = text.strip_suffix(".0").unwrap_or(text);
    // a plus in a query is a blank
    if text.bytes().any(|byte| byte == b'+') {
        out.extend(text.split('+'));
    } else {
        out.push_str(text);
    }
}

/// A value on its way into the query.
struct Part<'o> {
    out: &'o mut String,
    place: Place,
}

/// Where a value stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// The request itself.
    Request,
    /// The value of a field with this name, the first of which stands at `start`. The name is
    /// written with the value, since most fields are absent.
    Field {
        /// Name of the field.
        name: &'static str,
        /// Where the first field begins.
        start: usize,
    },
    /// An item of a field's list.
    Item,
}

impl<'o> Part<'o> {
    /// Where to write, unless this is the request itself, which must be an object.
    fn value(self) -> Result<&'o mut String, Unsayable> {
        match self.place {
            Place::Request => Err(Unsayable),
            Place::Item => Ok(self.out),
            Place::Field { name, start } => {
                if self.out.len() > start {
                    self.out.push('&');
                }
                self.out.push_str(name);
                self.out.push('=');
                Ok(self.out)
            }
        }
    }
}

/// Writes values as they print.
macro_rules! printed {
    ($($method:ident($kind:ty);)*) => {
        $(fn $method(self, value: $kind) -> Written {
            let _ = write!(self.value()?, "{value}");
            Ok(true)
        })*
    };
}

impl<'o> Serializer for Part<'o> {
    type Ok = bool;
    type Error = Unsayable;
    type SerializeSeq = Items<'o>;
    type SerializeTuple = Impossible<bool, Unsayable>;
    type SerializeTupleStruct = Impossible<bool, Unsayable>;
    type SerializeTupleVariant = Impossible<bool, Unsayable>;
    type SerializeMap = Impossible<bool, Unsayable>;
    type SerializeStruct = Pairs<'o>;
    type SerializeStructVariant = Impossible<bool, Unsayable>;

    printed! { serialize_i8(i8); serialize_i16(i16); serialize_i32(i32); serialize_i64(i64);
    serialize_u8(u8); serialize_u16(u16); serialize_u32(u32); serialize_u64(u64); serialize_bool(bool); }

    fn serialize_f32(self, value: f32) -> Written {
        self.serialize_f64(f64::from(value))
    }
    fn serialize_f64(self, value: f64) -> Written {
        push_number(value, self.value()?);
        Ok(true)
    }
    fn serialize_char(self, value: char) -> Written {
        self.serialize_str(value.encode_utf8(&mut [0; 4]))
    }
    fn serialize_str(self, value: &str) -> Written {
        // an empty value would be an absent field, and a comma would begin another item
        if value.is_empty() || self.place == Place::Item && value.contains(',') {
            return Err(Unsayable);
        }
        push_escaped(value, self.value()?);
        Ok(true)
    }
    fn serialize_none(self) -> Written {
        match self.place {
            Place::Field { .. } => Ok(false),
            Place::Request | Place::Item => Err(Unsayable),
        }
    }
    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Written {
        value.serialize(self)
    }
    fn serialize_unit_variant(self, _: &'static str, _: u32, variant: &'static str) -> Written {
        self.serialize_str(variant)
    }
    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Written {
        value.serialize(self)
    }
    fn serialize_seq(self, _: Option<usize>) -> Result<Items<'o>, Unsayable> {
        match self.place {
            Place::Field { .. } => Ok(Items {
                out: self.value()?,
                is_empty: true,
            }),
            Place::Request | Place::Item => Err(Unsayable),
        }
    }
    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Pairs<'o>, Unsayable> {
        match self.place {
            Place::Request => Ok(Pairs {
                start: self.out.len(),
                out: self.out,
            }),
            Place::Field { .. } | Place::Item => Err(Unsayable),
        }
    }

    // what follows is neither a request nor a value of a query

    fn serialize_bytes(self, _: &[u8]) -> Written {
        Err(Unsayable)
    }
    fn serialize_unit(self) -> Written {
        Err(Unsayable)
    }
    fn serialize_unit_struct(self, _: &'static str) -> Written {
        Err(Unsayable)
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: &T,
    ) -> Written {
        Err(Unsayable)
    }
    fn serialize_tuple(self, _: usize) -> Result<Self::SerializeTuple, Unsayable> {
        Err(Unsayable)
    }
    fn serialize_tuple_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleStruct, Unsayable> {
        Err(Unsayable)
    }
    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Unsayable> {
        Err(Unsayable)
    }
    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, Unsayable> {
        Err(Unsayable)
    }
    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Unsayable> {
        Err(Unsayable)
    }
}

/// The fields of the request.
struct Pairs<'o> {
    out: &'o mut String,
    /// Where the first field begins.
    start: usize,
}

impl SerializeStruct for Pairs<'_> {
    type Ok = bool;
    type Error = Unsayable;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        key: &'static str,
        value: &T,
    ) -> Result<(), Unsayable> {
        let place = Place::Field {
            name: key,
            start: self.start,
        };
        let part = Part {
            out: self.out,
            place,
        };
        if value.serialize(part)? {
            check_length(self.out)
        } else {
            Ok(())
        }
    }

    fn end(self) -> Written {
        Ok(true)
    }
}

/// The items of a list.
struct Items<'o> {
    out: &'o mut String,
    is_empty: bool,
}

impl SerializeSeq for Items<'_> {
    type Ok = bool;
    type Error = Unsayable;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unsayable> {
        if !std::mem::take(&mut self.is_empty) {
            self.out.push(',');
        }
        let part = Part {
            out: self.out,
            place: Place::Item,
        };
        value.serialize(part)?;
        check_length(self.out)
    }

    fn end(self) -> Written {
        if self.is_empty {
            Err(Unsayable)
        } else {
            Ok(true)
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde::Serialize;

    use super::{Unsayable, push};
    use crate::api::query::parse;

    #[derive(Debug, Default, Serialize)]
    struct Request {
        dose_g: Option<f64>,
        count: Option<u32>,
        is_fine: Option<bool>,
        name: Option<String>,
        values: Option<Vec<f64>>,
        names: Option<Vec<String>>,
        inside: Option<Box<Request>>,
    }

    fn written(request: &Request) -> Result<String, Unsayable> {
        let mut out = String::new();
        push(request, &mut out).map(|()| out)
    }

    #[test]
    fn fields_stand_in_their_order_and_absent_ones_are_left_out() {
        let request = Request {
            dose_g: Some(18.0),
            is_fine: Some(true),
            name: Some("one & two, é".to_owned()),
            values: Some(vec![9.3, 1e-9, -0.25, 2e300]),
            ..Request::default()
        };
        let expected =
            "dose_g=18&is_fine=true&name=one%20%26%20two%2C%20%C3%A9&values=9.3,1e-9,-0.25,2e300";
        assert_eq!(written(&request).unwrap(), expected);
        assert_eq!(written(&Request::default()).unwrap(), "");
    }

    #[test]
    fn what_a_query_cannot_say_is_not_said() {
        let text = |text: &str| Some(text.to_owned());
        for request in [
            Request {
                name: text(""),
                ..Request::default()
            },
            Request {
                values: Some(vec![]),
                ..Request::default()
            },
            Request {
                names: Some(vec!["a,b".to_owned()]),
                ..Request::default()
            },
            Request {
                inside: Some(Box::default()),
                ..Request::default()
            },
            Request {
                values: Some(vec![1.5; 1000]),
                ..Request::default()
            },
        ] {
            assert_eq!(written(&request), Err(Unsayable), "{request:?}");
        }
    }

    proptest! {
        #[test]
        fn every_number_and_text_comes_back_the_same(number in any::<f64>(), text in "\\PC{1,40}") {
            prop_assume!(number.is_finite());
            let request = Request {
                dose_g: Some(number),
                name: Some(text.clone()),
                ..Request::default()
            };
            let pairs = parse(&written(&request).unwrap()).unwrap();
            prop_assert_eq!(pairs[0].1.parse::<f64>().unwrap().to_bits(), number.to_bits());
            prop_assert_eq!(&pairs[1].1, &text);
        }
    }
}
