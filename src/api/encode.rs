//! Writing an answer as JSON in which no `null` can stand.

mod compound;

use std::fmt;

use serde::Serialize;
use serde::ser::{Impossible, Serializer};

use super::problem::Problem;
use compound::Compound;

/// Appends the JSON text of a value.
///
/// JSON writers turn NaN and infinities into `null` without a word. No answer of ours holds a
/// `null`, so this one refuses to write one. It also writes the names of fields as they are,
/// which a general writer has to search for escapes: that was a tenth of a light call. Numbers
/// and texts come out as the general writer's, which a test holds it to.
///
/// # Errors
/// [`Problem::non_finite`] when the value holds a number that is not finite, and
/// [`Problem::internal`] when it holds an absent value that was not left out; `out` is then as
/// it was.
pub fn json<T: Serialize + ?Sized>(value: &T, out: &mut Vec<u8>) -> Result<(), Problem> {
    let length = out.len();
    value.serialize(Writer(out)).map_err(|error| {
        out.truncate(length);
        let context = format!("answer not writable: {error}");
        match error {
            Unwritable::NonFinite => Problem::non_finite(context),
            Unwritable::Other(_) => Problem::internal(context),
        }
    })
}

/// Why an answer cannot be written.
#[derive(Debug)]
enum Unwritable {
    NonFinite,
    Other(String),
}

impl fmt::Display for Unwritable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NonFinite => "a number that is not finite in an answer",
            Self::Other(what) => what,
        })
    }
}

impl std::error::Error for Unwritable {}

impl serde::ser::Error for Unwritable {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::Other(message.to_string())
    }
}

impl Unwritable {
    fn kind(what: &str) -> Self {
        Self::Other(format!("{what} in an answer"))
    }
}

/// Appends compact JSON.
struct Writer<'o>(&'o mut Vec<u8>);

impl Writer<'_> {
    /// A text in quotes; the general writer escapes what needs it.
    fn text(&mut self, text: &str) -> Result<(), Unwritable> {
        let is_plain = |byte: &u8| *byte >= b' ' && *byte != b'"' && *byte != b'\\';
        if text.as_bytes().iter().all(is_plain) {
            self.0.push(b'"');
            self.0.extend_from_slice(text.as_bytes());
            self.0.push(b'"');
            return Ok(());
        }
        serde_json::to_writer(&mut *self.0, text)
            .map_err(|error| Unwritable::Other(error.to_string()))
    }
}

macro_rules! whole_numbers {
    ($($method:ident($kind:ty);)*) => {
        $(fn $method(self, value: $kind) -> Result<(), Unwritable> {
            self.0.extend_from_slice(value.to_string().as_bytes());
            Ok(())
        })*
    };
}

impl<'o> Serializer for Writer<'o> {
    type Ok = ();
    type Error = Unwritable;
    type SerializeSeq = Compound<'o>;
    type SerializeTuple = Compound<'o>;
    type SerializeTupleStruct = Impossible<(), Unwritable>;
    type SerializeTupleVariant = Impossible<(), Unwritable>;
    type SerializeMap = Compound<'o>;
    type SerializeStruct = Compound<'o>;
    type SerializeStructVariant = Impossible<(), Unwritable>;

    whole_numbers! {
        serialize_i8(i8); serialize_i16(i16); serialize_i32(i32); serialize_i64(i64);
        serialize_u8(u8); serialize_u16(u16); serialize_u32(u32); serialize_u64(u64);
    }

    fn serialize_f64(self, value: f64) -> Result<(), Unwritable> {
        if !value.is_finite() {
            return Err(Unwritable::NonFinite);
        }
        let mut digits = zmij::Buffer::new();
        self.0
            .extend_from_slice(digits.format_finite(value).as_bytes());
        Ok(())
    }

    fn serialize_f32(self, value: f32) -> Result<(), Unwritable> {
        self.serialize_f64(f64::from(value))
    }

    fn serialize_bool(self, value: bool) -> Result<(), Unwritable> {
        self.0
            .extend_from_slice(if value { b"true" } else { b"false" });
        Ok(())
    }

    fn serialize_char(mut self, value: char) -> Result<(), Unwritable> {
        self.text(value.encode_utf8(&mut [0; 4]))
    }

    fn serialize_str(mut self, value: &str) -> Result<(), Unwritable> {
        self.text(value)
    }

    fn serialize_bytes(self, _value: &[u8]) -> Result<(), Unwritable> {
        Err(Unwritable::kind("bytes"))
    }

    fn serialize_none(self) -> Result<(), Unwritable> {
        Err(Unwritable::kind("a null"))
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Unwritable> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Unwritable> {
        Err(Unwritable::kind("a null"))
    }

    fn serialize_unit_struct(self, _name: &'static str) -> Result<(), Unwritable> {
        Err(Unwritable::kind("a null"))
    }

    fn serialize_unit_variant(
        mut self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
    ) -> Result<(), Unwritable> {
        self.text(variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        value: &T,
    ) -> Result<(), Unwritable> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _value: &T,
    ) -> Result<(), Unwritable> {
        Err(Unwritable::kind("a variant with a value"))
    }

    fn serialize_seq(self, _length: Option<usize>) -> Result<Compound<'o>, Unwritable> {
        Ok(Compound::list(self.0))
    }

    fn serialize_tuple(self, _length: usize) -> Result<Compound<'o>, Unwritable> {
        Ok(Compound::list(self.0))
    }

    fn serialize_tuple_struct(
        self,
        _name: &'static str,
        _length: usize,
    ) -> Result<Self::SerializeTupleStruct, Unwritable> {
        Err(Unwritable::kind("a tuple with a name"))
    }

    fn serialize_tuple_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _length: usize,
    ) -> Result<Self::SerializeTupleVariant, Unwritable> {
        Err(Unwritable::kind("a variant with values"))
    }

    fn serialize_map(self, _length: Option<usize>) -> Result<Compound<'o>, Unwritable> {
        Ok(Compound::object(self.0))
    }

    fn serialize_struct(
        self,
        _name: &'static str,
        _length: usize,
    ) -> Result<Compound<'o>, Unwritable> {
        Ok(Compound::object(self.0))
    }

    fn serialize_struct_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _length: usize,
    ) -> Result<Self::SerializeStructVariant, Unwritable> {
        Err(Unwritable::kind("a variant with fields"))
    }
}

#[cfg(test)]
mod tests {
    use super::json;

    #[test]
    fn finite_numbers_are_written_with_full_precision() {
        let mut out = Vec::new();
        json(&[0.1 + 0.2, 18.0], &mut out).unwrap();
        assert_eq!(out, b"[0.30000000000000004,18.0]");
    }

    #[test]
    fn a_non_finite_number_is_our_fault_and_leaves_nothing_behind() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let mut out = b"kept".to_vec();
            let problem = json(&[1.0, value], &mut out).unwrap_err();
            assert_eq!(problem.code().status(), 500);
            assert_eq!(out, b"kept");
        }
    }

    #[test]
    fn the_text_is_that_of_the_general_writer() {
        let value = serde_json::json!({
            "plain": [1, -2.5, 1e300, 5e-324, true, []],
            "escaped \" \\ \n é": {"tab\t": "\u{1}", "nested": {"empty": {}}},
        });
        let mut out = Vec::new();
        json(&value, &mut out).unwrap();
        assert_eq!(String::from_utf8(out).unwrap(), value.to_string());
    }

    #[test]
    fn a_null_that_was_not_left_out_is_our_fault() {
        assert!(json(&Option::<f64>::None, &mut Vec::new()).is_err());
        assert!(json(&(), &mut Vec::new()).is_err());
    }
}
