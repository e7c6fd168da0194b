//! What is said to a learner: typed facts, and the sentences that they are written as.
//!
//! A [`Sentence`] is a key and its values, where a length stays a length. It becomes text at the very
//! end, by [`Words`]: a language and a unit of lengths. The sentences of a language stand together in
//! one table, `english.rs`; another language is one more table of the same keys.

mod english;
mod fill;
mod keys;
mod number;
pub(crate) mod say;
mod sentence;
mod template;
mod units;
mod words;

pub use keys::{Key, RuleName};
pub use number::{Number, mm, plain, signed};
pub(crate) use number::{against, angle, mm_against, number, speed};
pub(crate) use sentence::word;
pub use sentence::{Sentence, Value};
pub use template::{Piece, pieces};
pub use units::{Quantity, Units};
pub use words::{Language, Words, lengthen};
