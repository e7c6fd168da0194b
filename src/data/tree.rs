use super::DataError as Error;
use serde::de::value::StringDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _, Expected, MapAccess,
    SeqAccess, Unexpected, VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Map, Value};

/// Reads one of our types from plain data.
pub(crate) fn from_tree<T: DeserializeOwned>(value: Value) -> Result<T, Error> {
    T::deserialize(Tree(value))
}

/// Plain data as a source. It offers a visitor what files can hold and no more: an object for a
/// struct, a text for a name; serde's own source would drag in readers for the rest as well.
pub(super) struct Tree(pub(super) Value);

fn wrong(value: &Value, expected: &dyn Expected) -> Error {
    let found = match value {
        Value::Null => Unexpected::Unit,
        Value::Bool(b) => Unexpected::Bool(*b),
        Value::Number(n) => match (n.as_u64(), n.as_i64()) {
            (Some(n), _) => Unexpected::Unsigned(n),
            (_, Some(n)) => Unexpected::Signed(n),
            _ => Unexpected::Float(n.as_f64().unwrap_or(f64::NAN)),
        },
        Value::String(s) => Unexpected::Str(s),
        Value::Array(_) => Unexpected::Seq,
        Value::Object(_) => Unexpected::Map,
    };
    Error::invalid_type(found, expected)
}

/// One method of [`Tree`]: the value if it is of the kind, else what stands there instead.
macro_rules! kind {
    ($($method:ident: $read:ident => $visit:ident),* $(,)?) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
            match self.0.$read() {
                Some(v) => visitor.$visit(v),
                None => Err(wrong(&self.0, &visitor)),
            }
        })*
    };
}

impl<'de> Deserializer<'de> for Tree {
    type Error = Error;

    kind! {
        deserialize_bool: as_bool => visit_bool,
        deserialize_u8: as_u64 => visit_u64,
        deserialize_u16: as_u64 => visit_u64,
        deserialize_u32: as_u64 => visit_u64,
        deserialize_u64: as_u64 => visit_u64,
        deserialize_i8: as_i64 => visit_i64,
        deserialize_i16: as_i64 => visit_i64,
        deserialize_i32: as_i64 => visit_i64,
        deserialize_i64: as_i64 => visit_i64,
        deserialize_f32: as_f64 => visit_f64,
        deserialize_f64: as_f64 => visit_f64,
        deserialize_str: as_str => visit_str,
        deserialize_identifier: as_str => visit_str,
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::String(s) => visitor.visit_string(s),
            other => Err(wrong(&other, &visitor)),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        if self.0.is_null() { visitor.visit_none() } else { visitor.visit_some(self) }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let Value::Array(all) = self.0 else { return Err(wrong(&self.0, &visitor)) };
        let length = all.len();
        let mut items = Items { number: 0, rest: all.into_iter() };
        let value = visitor.visit_seq(&mut items)?;
        match items.rest.len() {
            0 => Ok(value),
            _ => Err(Error::invalid_length(length, &"fewer elements in array")),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Object(map) => visitor.visit_map(Entries::new(map)),
            other => Err(wrong(&other, &visitor)),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.deserialize_map(visitor)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_enum(match self.0 {
            Value::String(name) => Variant { name, value: None },
            Value::Object(map) if map.len() == 1 => {
                let Some((name, value)) = map.into_iter().next() else { unreachable!() };
                Variant { name, value: Some(value) }
            }
            other => return Err(wrong(&other, &"a name, or an object with one key")),
        })
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_unit()
    }

    /// For who takes whatever is there: plain data itself.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Bool(b) => visitor.visit_bool(b),
            Value::Number(n) => match (n.as_u64(), n.as_i64()) {
                (Some(n), _) => visitor.visit_u64(n),
                (_, Some(n)) => visitor.visit_i64(n),
                _ => visitor.visit_f64(n.as_f64().unwrap_or(f64::NAN)),
            },
            Value::String(s) => visitor.visit_string(s),
            Value::Array(_) => self.deserialize_seq(visitor),
            Value::Object(_) => self.deserialize_map(visitor),
        }
    }

    forward_to_deserialize_any! { char bytes byte_buf unit unit_struct tuple_struct }
}

struct Items {
    /// How many have been handed over.
    number: usize,
    rest: std::vec::IntoIter<Value>,
}

impl<'de> SeqAccess<'de> for &mut Items {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Error> {
        let Some(value) = self.rest.next() else { return Ok(None) };
        self.number += 1;
        match seed.deserialize(Tree(value)) {
            Ok(item) => Ok(Some(item)),
            Err(why) => Err(why.within_number(self.number)),
        }
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}

/// The entries of an object, one by one.
pub(super) struct Entries {
    rest: serde_json::map::IntoIter,
    key: String,
    value: Value,
}

impl Entries {
    pub(super) fn new(map: Map<String, Value>) -> Self {
        Self { rest: map.into_iter(), key: String::new(), value: Value::Null }
    }
}

impl<'de> MapAccess<'de> for Entries {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Error> {
        let Some((key, value)) = self.rest.next() else { return Ok(None) };
        (self.key, self.value) = (key.clone(), value);
        seed.deserialize(Tree(Value::String(key))).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(Tree(self.value.take())).map_err(|why| why.within(&self.key))
    }
}

/// One variant of an enum: its name, and what it holds.
pub(super) struct Variant {
    pub(super) name: String,
    pub(super) value: Option<Value>,
}

impl<'de> EnumAccess<'de> for Variant {
    type Error = Error;
    type Variant = Self;

    fn variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<(T::Value, Self), Error> {
        let name = StringDeserializer::<Error>::new(self.name.clone());
        Ok((seed.deserialize(name)?, self))
    }
}

impl<'de> VariantAccess<'de> for Variant {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        match self.value {
            None => Ok(()),
            Some(Value::Object(map)) if map.is_empty() => Ok(()),
            Some(Value::Object(map)) => {
                let key = map.keys().next().map_or("", String::as_str);
                Err(Error::custom(format_args!("unknown field `{key}`, there are no fields")))
            }
            Some(other) => Err(wrong(&other, &"nothing beside the name")),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(Tree(self.value.unwrap_or_default()))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Error> {
        Tree(self.value.unwrap_or_default()).deserialize_seq(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        Tree(self.value.unwrap_or_default()).deserialize_map(visitor)
    }
}
