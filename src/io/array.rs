use serde::de::{Deserialize, Deserializer, Error as _};

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
