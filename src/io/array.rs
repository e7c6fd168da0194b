use super::limits::Limit;
use super::plain::shortened;
use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

/// Reads a list of exactly `N` items, for `#[serde(deserialize_with)]`.
///
/// Serde's own reader of an array stops after `N` items, and the TOML reader then drops the rest.
pub(crate) fn array<'de, D, T, const N: usize>(deserializer: D) -> Result<[T; N], D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    let items = Vec::<T>::deserialize(deserializer)?;
    items.try_into().map_err(|items: Vec<T>| {
        D::Error::invalid_length(items.len(), &format!("an array of length {N}").as_str())
    })
}

/// Reads `[x, y, z]` into a point or a vector, for `#[serde(deserialize_with)]`.
pub(crate) fn xyz<'de, D, A>(deserializer: D) -> Result<A, D::Error>
where
    D: Deserializer<'de>,
    A: From<[f64; 3]>,
{
    array(deserializer).map(A::from)
}

/// The same for a key that may be left out.
pub(crate) fn some_xyz<'de, D, A>(deserializer: D) -> Result<Option<A>, D::Error>
where
    D: Deserializer<'de>,
    A: From<[f64; 3]>,
{
    xyz(deserializer).map(Some)
}

/// Reads a list of no more items than a limit, for `#[serde(deserialize_with)]`: what is too long is not even
/// read to its end.
pub(crate) fn at_most<'de, D, T>(limit: &'static Limit, from: D) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    from.deserialize_seq(AtMost { limit, items: PhantomData })
}

struct AtMost<T> {
    limit: &'static Limit,
    items: PhantomData<T>,
}

impl<'de, T: Deserialize<'de>> Visitor<'de> for AtMost<T> {
    type Value = Vec<T>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<T>, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element()? {
            items.push(item);
            self.limit.check(items.len()).map_err(A::Error::custom)?;
        }
        Ok(items)
    }
}

/// Reads an object whose keys are names, each once, for `#[serde(deserialize_with)]`. Serde's own reader of a
/// map takes the last of two.
pub(crate) fn by_name<'de, D, T>(from: D) -> Result<BTreeMap<String, T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    from.deserialize_map(ByName(PhantomData))
}

struct ByName<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for ByName<T> {
    type Value = BTreeMap<String, T>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut all = BTreeMap::new();
        while let Some((name, value)) = map.next_entry::<String, T>()? {
            if let Some(_before) = all.insert(name.clone(), value) {
                let twice =
                    format!("expected each key once, and found `{}` again", shortened(&name));
                return Err(A::Error::custom(twice));
            }
        }
        Ok(all)
    }
}
