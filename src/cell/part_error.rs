use crate::geometry::PrismError;
use thiserror::Error;

/// Why a part, its settings or a fault cannot be used: where in the file, and what was expected.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PartError {
    /// The text cannot be read as a part at all.
    #[error(transparent)]
    Text(#[from] crate::data::TextError),
    /// A body's shape is wrong.
    #[error("{place}: {source}")]
    Body {
        /// Which body.
        place: String,
        /// What is wrong with it.
        source: PrismError,
    },
    /// Two things share a name, or a name is missing or reserved.
    #[error("{place}: expected a name that nothing else here has, and found {name:?}")]
    Name {
        /// Which thing.
        place: String,
        /// Its name.
        name: String,
    },
    /// A number is out of its range.
    #[error("{place}: expected {expected}, and found {found}")]
    Value {
        /// Which number.
        place: String,
        /// What it may be.
        expected: &'static str,
        /// What it is, as it would stand in a file.
        found: String,
    },
    /// A fault or session names something this cell does not have.
    #[error("expected the name of a {what} ({known}), and found {name:?}")]
    Unknown {
        /// What kind of thing.
        what: &'static str,
        /// The name given.
        name: String,
        /// The names there are.
        known: String,
    },
}
