use serde::de::DeserializeOwned;

/// Reads a value from TOML; an error knows its place in the text.
///
/// In the browser every byte comes over the network, so there the text is read as plain data
/// first: then TOML and JSON files share one reader for each of our types, a fifth of the whole
/// program. The error then has no place; the files that come with the page are tested natively.
pub(crate) fn from_toml<T: DeserializeOwned>(text: &str) -> Result<T, toml::de::Error> {
    #[cfg(not(target_arch = "wasm32"))]
    {
        toml::from_str(text)
    }
    #[cfg(target_arch = "wasm32")]
    {
        let plain: serde_json::Value = toml::from_str(text)?;
        serde_json::from_value(plain).map_err(serde::de::Error::custom)
    }
}
