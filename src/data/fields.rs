use super::{DataError, FromData};
use serde_json::{Map, Value};

/// The keys of an object, taken out one by one.
pub(crate) struct Fields(Map<String, Value>);

impl Fields {
    /// The object, if it has no other keys than these.
    pub(crate) fn of(value: Value, known: &[&str]) -> Result<Self, DataError> {
        let map = object(value)?;
        match map.keys().find(|key| !known.contains(&key.as_str())) {
            Some(key) => Err(DataError::unknown("field", key, known)),
            None => Ok(Self(map)),
        }
    }

    /// What stands under a key that must be there.
    pub(crate) fn need<T: FromData>(&mut self, key: &str) -> Result<T, DataError> {
        let value = self.take(key)?;
        T::from_data(value).map_err(|e| e.under(key))
    }

    /// What stands under a key, or else the value given.
    pub(crate) fn may<T: FromData>(&mut self, key: &str, default: T) -> Result<T, DataError> {
        match self.0.remove(key) {
            Some(value) => T::from_data(value).map_err(|e| e.under(key)),
            None => Ok(default),
        }
    }

    fn take(&mut self, key: &str) -> Result<Value, DataError> {
        self.0.remove(key).ok_or_else(|| DataError::new(format!("missing field `{key}`")))
    }
}

fn object(value: Value) -> Result<Map<String, Value>, DataError> {
    if let Value::Object(map) = value { Ok(map) } else { Err(DataError::kind(&value, "a map")) }
}

/// An object that says under the key `tag` which variant it is: its name, and the rest of it.
pub(crate) fn tagged(value: Value, tag: &str) -> Result<(String, Value), DataError> {
    let mut all = Fields(object(value)?);
    let name = all.need(tag)?;
    Ok((name, Value::Object(all.0)))
}

/// A variant as its name alone, or as an object with the name as its one key.
pub(crate) fn variant(value: Value) -> Result<(String, Value), DataError> {
    match value {
        Value::String(name) => Ok((name, Value::Object(Map::new()))),
        Value::Object(map) if map.len() == 1 => Ok(map.into_iter().next().unwrap_or_default()),
        other => Err(DataError::kind(&other, "a name, or a map with one key")),
    }
}
