use super::DataError;
use nalgebra::{Point3, Vector3};
use serde_json::Value;

/// What can be read from plain data.
pub trait FromData: Sized {
    /// Reads a value.
    ///
    /// # Errors
    /// The first thing in it that is not as the type asks, with its place.
    fn from_data(value: Value) -> Result<Self, DataError>;
}

impl FromData for bool {
    fn from_data(value: Value) -> Result<Self, DataError> {
        value.as_bool().ok_or_else(|| DataError::kind(&value, "a boolean"))
    }
}

impl FromData for f64 {
    fn from_data(value: Value) -> Result<Self, DataError> {
        value.as_f64().ok_or_else(|| DataError::kind(&value, "a finite number"))
    }
}

impl FromData for String {
    fn from_data(value: Value) -> Result<Self, DataError> {
        if let Value::String(text) = value {
            Ok(text)
        } else {
            Err(DataError::kind(&value, "a string"))
        }
    }
}

/// A whole number from 0 to `most`.
fn whole(value: &Value, most: u64, kind: &str) -> Result<u64, DataError> {
    match value.as_u64() {
        Some(n) if n <= most => Ok(n),
        Some(n) => Err(DataError::new(format!("invalid value: integer `{n}`, expected {kind}"))),
        None => Err(DataError::kind(value, kind)),
    }
}

macro_rules! whole {
    ($($type:ident),*) => {
        $(impl FromData for $type {
            fn from_data(value: Value) -> Result<Self, DataError> {
                // On every target wide enough for what may be read.
                whole(&value, u64::from($type::MAX), stringify!($type)).map(|n| n as $type)
            }
        })*
    };
}
whole!(u8, u32, u64);

impl FromData for usize {
    fn from_data(value: Value) -> Result<Self, DataError> {
        // As many as the page can count, wherever the file is read.
        whole(&value, u32::MAX.into(), "usize").map(|n| n as usize)
    }
}

/// The items of a list.
fn items(value: Value) -> Result<Vec<Value>, DataError> {
    if let Value::Array(items) = value {
        Ok(items)
    } else {
        Err(DataError::kind(&value, "a sequence"))
    }
}

impl<T: FromData> FromData for Vec<T> {
    fn from_data(value: Value) -> Result<Self, DataError> {
        let mut all = Self::new();
        for item in items(value)? {
            all.push(T::from_data(item).map_err(|e| e.in_item(all.len()))?);
        }
        Ok(all)
    }
}

impl<T: FromData, const N: usize> FromData for [T; N] {
    fn from_data(value: Value) -> Result<Self, DataError> {
        let all = Vec::from_data(value)?;
        all.try_into().map_err(|all: Vec<T>| {
            let n = all.len();
            DataError::new(format!("invalid length {n}, expected an array of length {N}"))
        })
    }
}

impl<T: FromData> FromData for Option<T> {
    fn from_data(value: Value) -> Result<Self, DataError> {
        if value.is_null() { Ok(None) } else { T::from_data(value).map(Some) }
    }
}

impl<T: FromData> FromData for Box<T> {
    fn from_data(value: Value) -> Result<Self, DataError> {
        T::from_data(value).map(Self::new)
    }
}

impl FromData for Value {
    fn from_data(value: Value) -> Result<Self, DataError> {
        Ok(value)
    }
}

impl FromData for Point3<f64> {
    fn from_data(value: Value) -> Result<Self, DataError> {
        <[f64; 3]>::from_data(value).map(Self::from)
    }
}

impl FromData for Vector3<f64> {
    fn from_data(value: Value) -> Result<Self, DataError> {
        <[f64; 3]>::from_data(value).map(Self::from)
    }
}
