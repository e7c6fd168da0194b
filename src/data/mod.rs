//! Data as it stands in files, on its way into and out of our types.
//!
//! Whatever comes, JSON or TOML, is read as plain data first ([`serde_json::Value`]), and from
//! there into our types by [`FromData`]. Every byte of the page comes over the network, and the
//! readers that serde derives are several times as long as these, for each kind of source anew.

mod error;
mod fields;
mod from_data;
mod macros;
mod order;
mod text;

pub use error::DataError;
pub(crate) use fields::{Fields, tagged, variant};
pub use from_data::FromData;
pub(crate) use macros::{field, names, record, tagged, variants};
pub use order::sort_short;
#[cfg(not(target_arch = "wasm32"))]
pub use text::from_toml;
pub use text::{TextError, from_text, to_text};
