//! Internally tagged enums, `{ "action": "teach", "point": … }`, whose errors name the key.
//!
//! Serde's derive with `#[serde(tag = "action")]` reads such an object into a buffer before it
//! knows the variant, and what is wrong inside then has neither path nor line. So these enums
//! derive serde's usual form, one key with the variant's name (with `remote = "Self"`, which makes
//! the derived functions inherent), and [`internally_tagged!`] reads and writes that form with the
//! name under the tag. Only keys that stand before the tag are buffered.

use super::text::read_erased;
use serde::de::value::{MapAccessDeserializer, StringDeserializer};
use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, EnumAccess, Error, IntoDeserializer, MapAccess,
    VariantAccess, Visitor,
};
use serde::ser::{Error as _, SerializeMap, Serializer};
use serde_json::Value;
use serde_path_to_error::{Segment, Track};
use std::fmt;
use std::marker::PhantomData;
use std::vec;

/// Implements `Serialize` and `Deserialize` of an enum that derives both with
/// `#[serde(remote = "Self")]`: the name of the variant stands under the key `$tag`, beside the
/// variant's fields.
macro_rules! internally_tagged {
    ($type:ident, $tag:literal) => {
        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                // The inherent function that serde derives for `remote = "Self"`.
                let derived = $type::serialize(self, serde_json::value::Serializer);
                $crate::io::tagged::serialize(derived, $tag, serializer)
            }
        }

        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let tagged =
                    $crate::io::tagged::InternallyTagged { inner: deserializer, tag: $tag };
                $type::deserialize(tagged)
            }
        }
    };
}
pub(crate) use internally_tagged;

/// Writes `{ "name": { fields } }`, or `"name"` alone, as one object with the name under the tag.
pub(crate) fn serialize<S: Serializer>(
    derived: Result<Value, serde_json::Error>,
    tag: &'static str,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(None)?;
    match derived.map_err(S::Error::custom)? {
        Value::String(name) => map.serialize_entry(tag, &name)?,
        Value::Object(variant) => {
            for (name, fields) in variant {
                map.serialize_entry(tag, &name)?;
                let Value::Object(fields) = fields else {
                    return Err(S::Error::custom("the variant has no named fields"));
                };
                for (key, value) in fields {
                    map.serialize_entry(&key, &value)?;
                }
            }
        }
        _ => return Err(S::Error::custom("not an enum")),
    }
    map.end()
}

/// A deserializer whose enums are objects with the name of the variant under `tag`.
pub(crate) struct InternallyTagged<D> {
    pub(crate) inner: D,
    pub(crate) tag: &'static str,
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for InternallyTagged<D> {
    type Error = D::Error;

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.inner.deserialize_map(FindTag { tag: self.tag, visitor })
    }

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.inner.deserialize_any(visitor)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

/// Reads up to the tag.
struct FindTag<V> {
    tag: &'static str,
    visitor: V,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for FindTag<V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "a map with the key `{}`", self.tag)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<V::Value, A::Error> {
        let mut before_tag = Vec::new();
        while let Some(key) = map.next_key::<String>()? {
            if key == self.tag {
                let before_tag = before_tag.into_iter();
                return self.visitor.visit_enum(Tagged(Fields { before_tag, value: None, map }));
            }
            before_tag.push((key, map.next_value()?));
        }
        Err(A::Error::missing_field(self.tag))
    }
}

/// The object, its key `tag` just read.
struct Tagged<A>(Fields<A>);

impl<'de, A: MapAccess<'de>> EnumAccess<'de> for Tagged<A> {
    type Error = A::Error;
    type Variant = Fields<A>;

    fn variant_seed<S: DeserializeSeed<'de>>(
        mut self,
        seed: S,
    ) -> Result<(S::Value, Fields<A>), A::Error> {
        Ok((self.0.map.next_value_seed(seed)?, self.0))
    }
}

/// The keys beside the tag: those before it, then those after it.
struct Fields<A> {
    before_tag: vec::IntoIter<(String, Value)>,
    /// A key from before the tag and its value, between the calls that read one and the other.
    value: Option<(String, Value)>,
    map: A,
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Fields<A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, A::Error> {
        let Some((key, value)) = self.before_tag.next() else {
            return self.map.next_key_seed(seed);
        };
        let read: StringDeserializer<A::Error> = key.clone().into_deserializer();
        self.value = Some((key, value));
        seed.deserialize(read).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        let Some((key, value)) = self.value.take() else {
            return self.map.next_value_seed(seed);
        };
        let mut track = Track::new();
        let tracked = serde_path_to_error::Deserializer::new(value, &mut track);
        read_erased(seed, tracked).map_err(|e| {
            let inside = track.path();
            let dot = match inside.iter().next() {
                None => return A::Error::custom(format!("{key}: {e}")),
                Some(Segment::Seq { .. }) => "",
                Some(_) => ".",
            };
            A::Error::custom(format!("{key}{dot}{inside}: {e}"))
        })
    }
}

impl<'de, A: MapAccess<'de>> VariantAccess<'de> for Fields<A> {
    type Error = A::Error;

    fn unit_variant(mut self) -> Result<(), A::Error> {
        self.next_key_seed(NoKey).map(drop)
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, A::Error> {
        read_erased(seed, MapAccessDeserializer::new(self)).map_err(A::Error::custom)
    }

    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, visitor: V) -> Result<V::Value, A::Error> {
        visitor.visit_map(self)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        visitor.visit_map(self)
    }
}

/// Refuses any key.
struct NoKey;

impl<'de> DeserializeSeed<'de> for NoKey {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        Err(D::Error::unknown_field(&String::deserialize(deserializer)?, &[]))
    }
}

/// Reads one object as two: the value under `key`, and a `T` from the other keys.
///
/// As `#[serde(flatten)]` does, but without its buffer, and so that unknown keys are refused.
pub(crate) fn beside<'de, D, K, T>(deserializer: D, key: &'static str) -> Result<(K, T), D::Error>
where
    D: Deserializer<'de>,
    K: Deserialize<'de>,
    T: Deserialize<'de>,
{
    deserializer.deserialize_map(Beside { key, types: PhantomData })
}

struct Beside<K, T> {
    key: &'static str,
    types: PhantomData<(K, T)>,
}

impl<'de, K: Deserialize<'de>, T: Deserialize<'de>> Visitor<'de> for Beside<K, T> {
    type Value = (K, T);

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "a map with the key `{}`", self.key)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<(K, T), A::Error> {
        let mut found = None;
        let others = Others { map, key: self.key, found: &mut found };
        let rest = read_erased(PhantomData, MapAccessDeserializer::new(others));
        let rest = rest.map_err(A::Error::custom)?;
        found.map(|value| (value, rest)).ok_or_else(|| A::Error::missing_field(self.key))
    }
}

/// A map without one of its keys, whose value is put into `found`.
struct Others<'f, A, K> {
    map: A,
    key: &'static str,
    found: &'f mut Option<K>,
}

impl<'de, A: MapAccess<'de>, K: Deserialize<'de>> MapAccess<'de> for Others<'_, A, K> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, A::Error> {
        let mut seed = seed;
        while let Some(key) = self.map.next_key_seed(Unless { key: self.key, seed })? {
            match key {
                Ok(other) => return Ok(Some(other)),
                Err(unused) => seed = unused,
            }
            if self.found.is_some() {
                return Err(A::Error::duplicate_field(self.key));
            }
            *self.found = Some(self.map.next_value()?);
        }
        Ok(None)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        self.map.next_value_seed(seed)
    }
}

/// Reads a key by `seed`, unless it is `key`: then the seed comes back.
struct Unless<S> {
    key: &'static str,
    seed: S,
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Unless<S> {
    type Value = Result<S::Value, S>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
        let key = String::deserialize(deserializer)?;
        if key == self.key {
            return Ok(Err(self.seed));
        }
        self.seed.deserialize(key.into_deserializer()).map(Ok)
    }
}
