//! Reading and writing text: JSON and TOML by serde, with the place of every error.
//!
//! The types derive `Serialize` and `Deserialize`, with `deny_unknown_fields` on everything that a
//! person may write by hand. [`from_json`] and [`from_toml`] read them, and name line, column and
//! key of what is wrong ([`TextError`]).

mod array;
pub mod limits;
mod plain;
mod table;
pub(crate) mod tagged;
mod text;
mod toml_text;
mod visible;

pub(crate) use array::{array, at_most, by_name, some_xyz, xyz};
pub(crate) use plain::{in_plain_words, shortened};
pub use table::to_csv;
pub(crate) use tagged::{beside, internally_tagged};
pub use text::{TextError, from_file, from_json, from_toml, to_json, toml_position};
pub use toml_text::to_toml;
pub use visible::visible;
