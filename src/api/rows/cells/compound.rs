//! Lists, maps and objects inside an answer, as cells.

use serde::ser::{Serialize, SerializeMap, SerializeSeq, SerializeStruct};

use super::super::columns::Slot;
use super::{Cells, NotFinite, Put};

/// A list in one cell, its items split by bars.
pub(super) struct Items<'a> {
    pub(super) put: Put<'a>,
    pub(super) begin: usize,
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

/// An object, its fields each in the cell or cells of their own.
pub(super) struct Named<'a> {
    pub(super) cells: &'a mut Cells,
    pub(super) fields: &'a [(String, Slot)],
    pub(super) next: usize,
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
