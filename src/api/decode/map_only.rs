//! A deserialiser that takes a struct only from an object.
//!
//! serde's derive also accepts an array for a struct, by position: `[18, 36, 9.5]` would be
//! answered. This adapter asks for a map wherever a struct is meant, at any depth.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Visitor};

/// Wraps a deserialiser, a visitor, a seed or an access alike.
pub(super) struct MapOnly<T>(pub(super) T);

macro_rules! forward_deserialize {
    ($($method:ident($($argument:ident: $kind:ty),*);)*) => {
        $(fn $method<V: Visitor<'de>>(self, $($argument: $kind,)* visitor: V) -> Result<V::Value, Self::Error> {
            self.0.$method($($argument,)* MapOnly(visitor))
        })*
    };
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for MapOnly<D> {
    type Error = D::Error;

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Self::Error> {
        self.0.deserialize_map(MapOnly(visitor))
    }

    forward_deserialize! {
        deserialize_any(); deserialize_bool(); deserialize_i8(); deserialize_i16();
        deserialize_i32(); deserialize_i64(); deserialize_i128(); deserialize_u8();
        deserialize_u16(); deserialize_u32(); deserialize_u64(); deserialize_u128();
        deserialize_f32(); deserialize_f64(); deserialize_char(); deserialize_str();
        deserialize_string(); deserialize_bytes(); deserialize_byte_buf(); deserialize_option();
        deserialize_unit(); deserialize_seq(); deserialize_map(); deserialize_identifier();
        deserialize_ignored_any();
        deserialize_unit_struct(name: &'static str);
        deserialize_newtype_struct(name: &'static str);
        deserialize_tuple(len: usize);
        deserialize_tuple_struct(name: &'static str, len: usize);
        deserialize_enum(name: &'static str, variants: &'static [&'static str]);
    }

    fn is_human_readable(&self) -> bool {
        self.0.is_human_readable()
    }
}

macro_rules! forward_visit {
    ($($method:ident($kind:ty);)*) => {
        $(fn $method<E: Error>(self, value: $kind) -> Result<Self::Value, E> {
            self.0.$method(value)
        })*
    };
}

impl<'de, V: Visitor<'de>> Visitor<'de> for MapOnly<V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.expecting(f)
    }

    forward_visit! {
        visit_bool(bool); visit_i64(i64); visit_i128(i128); visit_u64(u64); visit_u128(u128);
        visit_f64(f64); visit_char(char); visit_str(&str); visit_borrowed_str(&'de str);
        visit_string(String); visit_bytes(&[u8]); visit_borrowed_bytes(&'de [u8]);
        visit_byte_buf(Vec<u8>);
    }

    fn visit_none<E: Error>(self) -> Result<Self::Value, E> {
        self.0.visit_none()
    }

    fn visit_unit<E: Error>(self) -> Result<Self::Value, E> {
        self.0.visit_unit()
    }

    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<Self::Value, D::Error> {
        self.0.visit_some(MapOnly(inner))
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, inner: D) -> Result<Self::Value, D::Error> {
        self.0.visit_newtype_struct(MapOnly(inner))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, access: A) -> Result<Self::Value, A::Error> {
        self.0.visit_seq(MapOnly(access))
    }

    fn visit_map<A: MapAccess<'de>>(self, access: A) -> Result<Self::Value, A::Error> {
        self.0.visit_map(MapOnly(access))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<Self::Value, A::Error> {
        // requests hold unit variants only, so there is nothing to wrap inside
        self.0.visit_enum(access)
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for MapOnly<S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, inner: D) -> Result<Self::Value, D::Error> {
        self.0.deserialize(MapOnly(inner))
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for MapOnly<A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Self::Error> {
        self.0.next_element_seed(MapOnly(seed))
    }

    fn size_hint(&self) -> Option<usize> {
        self.0.size_hint()
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for MapOnly<A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Self::Error> {
        self.0.next_key_seed(seed)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<S::Value, Self::Error> {
        self.0.next_value_seed(MapOnly(seed))
    }
}
