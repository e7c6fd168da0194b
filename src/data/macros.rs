//! How our types stand in files, one line for each key or name. `Serialize` is derived: it writes
//! the same keys and names. `tests/data/names.rs` holds the two together, and the replays of sessions.

/// A struct: `record!(Type { key, key: what it is if the key is missing })`.
macro_rules! record {
    ($type:ident { $($field:ident $(: $default:expr)?),* $(,)? }) => {
        impl $crate::data::FromData for $type {
            fn from_data(value: serde_json::Value) -> Result<Self, $crate::data::DataError> {
                let mut all = $crate::data::Fields::of(value, &[$(stringify!($field)),*])?;
                Ok(Self { $($field: $crate::data::field!(all, $field $(, $default)?)),* })
            }
        }
    };
}

/// One key of an object.
macro_rules! field {
    ($all:ident, $field:ident) => {
        $all.need(stringify!($field))?
    };
    ($all:ident, $field:ident, $default:expr) => {
        $all.may(stringify!($field), $default)?
    };
}

/// An enum of bare names: `names!(Type { Variant: "name" })`.
macro_rules! names {
    ($type:ident { $($variant:ident: $name:literal),* $(,)? }) => {
        impl $crate::data::FromData for $type {
            fn from_data(value: serde_json::Value) -> Result<Self, $crate::data::DataError> {
                let name = <String as $crate::data::FromData>::from_data(value)?;
                let all = [$(($name, Self::$variant)),*];
                match all.iter().find(|(n, _)| *n == name) {
                    Some((_, found)) => Ok(*found),
                    None => Err($crate::data::DataError::unknown("variant", &name, &[$($name),*])),
                }
            }
        }
    };
}

/// An enum whose objects say under one key which variant they are:
/// `tagged!(Type, "key" { Variant "name" { key, … } })`.
macro_rules! tagged {
    ($type:ident, $tag:literal {
        $($variant:ident $name:literal { $($field:ident $(: $default:expr)?),* $(,)? }),* $(,)?
    }) => {
        impl $type {
            /// Its name in files.
            pub const fn name(&self) -> &'static str {
                match self {
                    $(Self::$variant { .. } => $name),*
                }
            }
        }

        impl $crate::data::FromData for $type {
            fn from_data(value: serde_json::Value) -> Result<Self, $crate::data::DataError> {
                let (name, rest) = $crate::data::tagged(value, $tag)?;
                match name.as_str() {
                    $($name => {
                        #[allow(unused_mut, reason = "some variants have no fields")]
                        let mut _all = $crate::data::Fields::of(rest, &[$(stringify!($field)),*])?;
                        Ok(Self::$variant { $($field: $crate::data::field!(_all, $field $(, $default)?)),* })
                    })*
                    _ => Err($crate::data::DataError::unknown("variant", &name, &[$($name),*])),
                }
            }
        }
    };
}

/// An enum whose variants are names, or objects with the name as their one key; first those that
/// hold one value, then those with keys of their own or with nothing:
/// `variants!(Type { Variant("name"); Variant "name" { key, … } })`.
macro_rules! variants {
    ($type:ident {
        $($holder:ident($held:literal)),* $(,)?;
        $($variant:ident $name:literal { $($field:ident $(: $default:expr)?),* $(,)? }),* $(,)?
    }) => {
        impl $crate::data::FromData for $type {
            fn from_data(value: serde_json::Value) -> Result<Self, $crate::data::DataError> {
                let (name, rest) = $crate::data::variant(value)?;
                match name.as_str() {
                    $($held => $crate::data::FromData::from_data(rest).map(Self::$holder),)*
                    $($name => {
                        #[allow(unused_mut, reason = "some variants have no fields")]
                        let mut _all = $crate::data::Fields::of(rest, &[$(stringify!($field)),*])?;
                        Ok(Self::$variant { $($field: $crate::data::field!(_all, $field $(, $default)?)),* })
                    })*
                    _ => Err($crate::data::DataError::unknown("variant", &name, &[$($held,)* $($name),*])),
                }
            }
        }
    };
}

pub(crate) use {field, names, record, tagged, variants};
