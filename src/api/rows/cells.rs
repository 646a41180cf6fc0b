//! An answer as the cells of its columns: a serde serialiser that follows the columns field by
//! field, without a tree and without a look-up by name where serde and the schema list the
//! fields alike.

use std::fmt;

use serde::ser::{Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct, Serializer};

use super::columns::{Columns, PROVENANCE, Slot};
use crate::api::decode::Fields;
use crate::api::problem::Problem;
use crate::api::provenance::Provenance;

/// Where a request comes from.
#[derive(Debug, Clone, Copy)]
pub enum Source<'a> {
    /// Names and texts.
    Fields(Fields<'a>),
    /// A JSON text.
    Json(&'a [u8]),
}

/// Where the cells of an answer go, and those of its request when it came as JSON.
#[derive(Debug)]
pub(crate) struct Sink<'a> {
    pub(crate) request: Option<(&'a Columns, &'a mut Cells)>,
    pub(crate) answer: (&'a Columns, &'a mut Cells),
}

impl Sink<'_> {
    /// Writes the request.
    pub(crate) fn put_request<R: Serialize>(&mut self, request: &R) -> Result<(), Problem> {
        match &mut self.request {
            Some((columns, cells)) => cells.fill(columns, request),
            None => Ok(()),
        }
    }

    /// Writes the answer.
    pub(crate) fn put_answer<R: Serialize>(
        &mut self,
        result: &R,
        provenance: &Provenance,
    ) -> Result<(), Problem> {
        let (columns, cells) = &mut self.answer;
        cells.fill(columns, result)?;
        let first = columns.all.len() - PROVENANCE.len();
        let codes = provenance
            .cautions
            .iter()
            .map(|caution| caution.code.as_str());
        cells.put_joined(first, provenance.sources.iter().map(AsRef::as_ref));
        cells.put_joined(
            first + 1,
            std::iter::once(provenance.model_version.as_ref()),
        );
        cells.put_joined(first + 2, codes);
        Ok(())
    }
}

/// The cells of one row; numbers are written with a point, texts as they are.
#[derive(Debug)]
pub(crate) struct Cells {
    text: Vec<u8>,
    spans: Vec<(usize, usize)>,
}

impl Cells {
    /// Empty cells for these columns.
    pub(crate) fn of(columns: &Columns) -> Self {
        Self {
            text: Vec::new(),
            spans: vec![(0, 0); columns.all.len()],
        }
    }

    /// Empties all cells.
    pub(crate) fn clear(&mut self) {
        self.text.clear();
        self.spans.fill((0, 0));
    }

    /// A cell; empty when nothing was put there.
    pub(crate) fn get(&self, column: usize) -> &[u8] {
        let span = self.spans.get(column);
        span.and_then(|(begin, end)| self.text.get(*begin..*end))
            .unwrap_or_default()
    }

    fn fill<R: Serialize>(&mut self, columns: &Columns, value: &R) -> Result<(), Problem> {
        let put = Put {
            slot: &columns.root,
            cells: self,
        };
        value
            .serialize(put)
            .map_err(|error| Problem::internal(format!("row not writable: {error}")))
    }

    fn put(&mut self, slot: &Slot, write: impl FnOnce(&mut Vec<u8>)) {
        if let Slot::Cell(column) = slot {
            let begin = self.text.len();
            write(&mut self.text);
            self.close(*column, begin);
        }
    }

    fn put_joined<'t>(&mut self, column: usize, words: impl Iterator<Item = &'t str>) {
        let begin = self.text.len();
        for (place, word) in words.enumerate() {
            if place > 0 {
                self.text.push(b';');
            }
            self.text.extend_from_slice(word.as_bytes());
        }
        self.close(column, begin);
    }

    fn close(&mut self, column: usize, begin: usize) {
        if let Some(span) = self.spans.get_mut(column) {
            *span = (begin, self.text.len());
        }
    }
}

/// A number that is not finite.
#[derive(Debug)]
struct NotFinite;

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
struct Put<'a> {
    slot: &'a Slot,
    cells: &'a mut Cells,
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
struct Items<'a> {
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
struct Nothing;

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

struct Named<'a> {
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
