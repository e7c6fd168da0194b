//! Data as it stands in files, on its way into and out of our types.
//!
//! Every byte of the page comes over the network, and the readers that serde makes for a type are
//! made anew for every kind of source. So there is one source, plain data: whatever comes, JSON
//! text or a value set aside, is read as [`serde_json::Value`] first.

mod error;
mod order;
mod tagged;
mod text;
mod tree;

pub use error::DataError;
pub use order::sort_short;
pub(crate) use tagged::{Tagged, flat, tagged};
pub use text::{TextError, from_text, to_text};
pub(crate) use tree::from_tree;
