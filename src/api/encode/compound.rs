//! Lists and objects on their way into JSON.

use serde::Serialize;
use serde::ser::{SerializeMap, SerializeSeq, SerializeStruct, SerializeTuple};

use super::{Unwritable, Writer};

/// A list or an object that was begun.
pub(super) struct Compound<'o> {
    out: &'o mut Vec<u8>,
    is_empty: bool,
    end: u8,
}

impl<'o> Compound<'o> {
    pub(super) fn list(out: &'o mut Vec<u8>) -> Self {
        Self::begin(out, b'[', b']')
    }

    pub(super) fn object(out: &'o mut Vec<u8>) -> Self {
        Self::begin(out, b'{', b'}')
    }

    fn begin(out: &'o mut Vec<u8>, begin: u8, end: u8) -> Self {
        out.push(begin);
        Self {
            out,
            is_empty: true,
            end,
        }
    }

    fn separate(&mut self) {
        if !std::mem::take(&mut self.is_empty) {
            self.out.push(b',');
        }
    }

    fn item<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.separate();
        value.serialize(Writer(self.out))
    }

    fn finish(self) {
        self.out.push(self.end);
    }
}

impl SerializeSeq for Compound<'_> {
    type Ok = ();
    type Error = Unwritable;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.item(value)
    }

    fn end(self) -> Result<(), Unwritable> {
        self.finish();
        Ok(())
    }
}

impl SerializeTuple for Compound<'_> {
    type Ok = ();
    type Error = Unwritable;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.item(value)
    }

    fn end(self) -> Result<(), Unwritable> {
        self.finish();
        Ok(())
    }
}

impl SerializeMap for Compound<'_> {
    type Ok = ();
    type Error = Unwritable;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Unwritable> {
        self.item(key)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.out.push(b':');
        value.serialize(Writer(self.out))
    }

    fn end(self) -> Result<(), Unwritable> {
        self.finish();
        Ok(())
    }
}

impl SerializeStruct for Compound<'_> {
    type Ok = ();
    type Error = Unwritable;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        key: &'static str,
        value: &T,
    ) -> Result<(), Unwritable> {
        self.separate();
        // names of fields are identifiers
        self.out.push(b'"');
        self.out.extend_from_slice(key.as_bytes());
        self.out.extend_from_slice(b"\":");
        value.serialize(Writer(self.out))
    }

    fn end(self) -> Result<(), Unwritable> {
        self.finish();
        Ok(())
    }
}
