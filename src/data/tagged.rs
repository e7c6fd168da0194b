use super::DataError as Error;
use super::tree::{Tree, Variant};
use serde::de::{Deserializer, Error as _, Visitor};
use serde::forward_to_deserialize_any;
use serde_json::{Map, Value};

/// An object that says in one of its keys which variant of an enum it is, as a source.
///
/// Serde's own reader of such enums keeps a second copy of every reader below it, for values it
/// has set aside; here they are plain data already.
pub(crate) struct Tagged {
    name: String,
    rest: Map<String, Value>,
}

impl Tagged {
    /// Takes the key `tag` out of the object.
    pub(crate) fn new(tag: &'static str, value: Value) -> Result<Self, Error> {
        let Value::Object(mut rest) = value else {
            return Err(Error::custom(format_args!("expected an object with the key `{tag}`")));
        };
        match rest.remove(tag) {
            Some(Value::String(name)) => Ok(Self { name, rest }),
            Some(_) => Err(Error::custom(format_args!("key `{tag}`: expected a name"))),
            None => Err(Error::missing_field(tag)),
        }
    }
}

impl<'de> Deserializer<'de> for Tagged {
    type Error = Error;

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_enum(Variant { name: self.name, value: Some(Value::Object(self.rest)) })
    }

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        Tree(Value::Object(self.rest)).deserialize_any(visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

/// The other way: `"name"` or `{"name": {…}}` becomes one object with the name under `tag`.
pub(crate) fn flat(tag: &str, value: Value) -> Map<String, Value> {
    let (name, rest) = match value {
        Value::Object(map) if map.len() == 1 => map.into_iter().next().unwrap_or_default(),
        name => (name.as_str().unwrap_or_default().to_owned(), Value::Null),
    };
    let mut flat = if let Value::Object(map) = rest { map } else { Map::new() };
    flat.insert(tag.to_owned(), Value::String(name));
    flat
}

/// Lets an enum stand in files as an object that says under a key which variant it is. The enum
/// derives `Serialize` and `Deserialize` with `#[serde(remote = "Self")]`.
macro_rules! tagged {
    ($type:ident, $tag:literal) => {
        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                let value = $type::serialize(self, serde_json::value::Serializer);
                let value = value.map_err(serde::ser::Error::custom)?;
                $crate::data::flat($tag, value).serialize(serializer)
            }
        }

        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
                let value = serde_json::Value::deserialize(source)?;
                $crate::data::Tagged::new($tag, value)
                    .and_then($type::deserialize)
                    .map_err(serde::de::Error::custom)
            }
        }
    };
}
pub(crate) use tagged;
