//! A value as the cells of its columns: a serde serialiser that follows the columns field by
//! field, without a tree and without a look-up by name where serde and the schema list the
//! fields alike.

use std::fmt;

use serde::ser::{Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct, Serializer};

use super::Cells;
use super::columns::Slot;

/// A number that is not finite.
#[derive(Debug)]
pub(super) struct NotFinite;

impl fmt::Display for NotFinite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a non-finite number, or a value that no column can hold")
    }
}

impl std::error::Error for NotFinite {}

impl serde::ser::Error for NotFinite {
    fn custom<T: fmt::Display>(_message: T) -> Self {
        Self
    }
}

/// Puts a value where its slot says.
pub(super) struct Put<'a> {
    pub(super) slot: &'a Slot,
    pub(super) cells: &'a mut Cells,
}

macro_rules! displayed {
    ($($method:ident($kind:ty);)*) => {
        $(fn $method(self, value: $kind) -> Result<(), NotFinite> {
            self.cells.put(self.slot, |out| out.extend_from_slice(value.to_string().as_bytes()));
            Ok(())
        })*
    };
}

impl<'a> Serializer for Put<'a> {
    type Ok = ();
    type Error = NotFinite;
    type SerializeSeq = Items<'a>;
    type SerializeTuple = Impossible<(), NotFinite>;
    type SerializeTupleStruct = Impossible<(), NotFinite>;
    type SerializeTupleVariant = Impossible<(), NotFinite>;
    type SerializeMap = Nothing;
    type SerializeStruct = Named<'a>;
    type SerializeStructVariant = Impossible<(), NotFinite>;

    fn serialize_f64(self, value: f64) -> Result<(), NotFinite> {
        if !value.is_finite() {
            return Err(NotFinite);
        }
        let mut buffer = zmij::Buffer::new();
        let number = buffer.format_finite(value);
        self.cells
            .put(self.slot, |out| out.extend_from_slice(number.as_bytes()));
        Ok(())
    }

    displayed! {
        serialize_i8(i8); serialize_i16(i16); serialize_i32(i32); serialize_i64(i64);
        serialize_u8(u8); serialize_u16(u16); serialize_u32(u32); serialize_u64(u64);
        serialize_bool(bool); serialize_char(char);
    }

    fn serialize_f32(self, value: f32) -> Result<(), NotFinite> {
        self.serialize_f64(f64::from(value))
    }

    fn serialize_str(self, value: &str) -> Result<(), NotFinite> {
        self.cells
            .put(self.slot, |out| out.extend_from_slice(value.as_bytes()));
        Ok(())
    }

    fn serialize_unit_variant(
        self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
    ) -> Result<(), NotFinite> {
        self.serialize_str(variant)
    }

    fn serialize_bytes(self, _value: &[u8]) -> Result<(), NotFinite> {
        Err(NotFinite)
    }

    fn serialize_none(self) -> Result<(), NotFinite> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), NotFinite> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), NotFinite> {
        Ok(())
    }

    fn serialize_unit_struct(self, _name: &'static str) -> Result<(), NotFinite> {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        value: &T,
    ) -> Result<(), NotFinite> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _value: &T,
    ) -> Result<(), NotFinite> {
        Err(NotFinite)
    }

    fn serialize_seq(self, _length: Option<usize>) -> Result<Items<'a>, NotFinite> {
        Ok(Items {
            begin: self.cells.text.len(),
            put: self,
        })
    }

    fn serialize_tuple(self, _length: usize) -> Result<Self::SerializeTuple, NotFinite> {
        Err(NotFinite)
    }

    fn serialize_tuple_struct(
        self,
        _name: &'static str,
        _length: usize,
    ) -> Result<Self::SerializeTupleStruct, NotFinite> {
        Err(NotFinite)
    }

    fn serialize_tuple_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _length: usize,
    ) -> Result<Self::SerializeTupleVariant, NotFinite> {
        Err(NotFinite)
    }

    fn serialize_map(self, _length: Option<usize>) -> Result<Nothing, NotFinite> {
        Ok(Nothing)
    }

    fn serialize_struct(self, _name: &'static str, _length: usize) -> Result<Named<'a>, NotFinite> {
        Ok(Named {
            cells: self.cells,
            fields: match self.slot {
                Slot::Fields(fields) => fields,
                Slot::Skip | Slot::Cell(_) => &[],
            },
            next: 0,
        })
    }

    fn serialize_struct_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _length: usize,
    ) -> Result<Self::SerializeStructVariant, NotFinite> {
        Err(NotFinite)
    }
}

/// A list in one cell, its items split by bars.
pub(super) struct Items<'a> {
    put: Put<'a>,
    begin: usize,
}

impl SerializeSeq for Items<'_> {
    type Ok = ();
    type Error = NotFinite;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), NotFinite> {
        if matches!(self.put.slot, Slot::Skip) {
            return Ok(());
        }
        if self.put.cells.text.len() > self.begin {
            self.put.cells.text.push(b'|');
        }
        value.serialize(Put {
            slot: self.put.slot,
            cells: self.put.cells,
        })
    }

    fn end(self) -> Result<(), NotFinite> {
        if let Slot::Cell(column) = self.put.slot {
            self.put.cells.close(*column, self.begin);
        }
        Ok(())
    }
}

/// A map has names that no header can know.
pub(super) struct Nothing;

impl SerializeMap for Nothing {
    type Ok = ();
    type Error = NotFinite;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, _key: &T) -> Result<(), NotFinite> {
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, _value: &T) -> Result<(), NotFinite> {
        Ok(())
    }

    fn end(self) -> Result<(), NotFinite> {
        Ok(())
    }
}

pub(super) struct Named<'a> {
    cells: &'a mut Cells,
    fields: &'a [(String, Slot)],
    next: usize,
}

impl SerializeStruct for Named<'_> {
    type Ok = ();
    type Error = NotFinite;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        key: &'static str,
        value: &T,
    ) -> Result<(), NotFinite> {
        // absent fields are passed over; only a schema in another order needs the second search
        let (before, after) = self.fields.split_at(self.next.min(self.fields.len()));
        let is_it = |(name, _): &(String, Slot)| name == key;
        let place = match after.iter().position(is_it) {
            Some(place) => Some(self.next + place),
            None => before.iter().position(is_it),
        };
        let Some((place, (_, slot))) = place.and_then(|p| Some((p, self.fields.get(p)?))) else {
            return Ok(());
        };
        self.next = place + 1;
        value.serialize(Put {
            slot,
            cells: self.cells,
        })
    }

    fn end(self) -> Result<(), NotFinite> {
        Ok(())
    }
}
