use crate::geometry::PrismError;
use crate::io::limits::OverLimit;
use thiserror::Error;

/// Why a part, the cell's settings or a fault cannot be used: place in the file, and what was expected.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PartError {
    /// The text is not a part file.
    #[error(transparent)]
    Text(#[from] crate::io::TextError),
    /// A body's shape is wrong.
    #[error("{place}: {source}")]
    Body {
        /// Place of the body in the file.
        place: String,
        /// The problem.
        source: PrismError,
    },
    /// Two things share a name, or a name is missing or reserved.
    #[error("{place}: expected a name that nothing else here has, and found {name:?}")]
    Name {
        /// Its place in the file.
        place: String,
        /// Its name.
        name: String,
    },
    /// It holds more than it may.
    #[error("{place}: {source}")]
    TooMuch {
        /// Place in the file.
        place: String,
        /// The limit and what was found.
        source: OverLimit,
    },
    /// A number is out of its range.
    #[error("{place}: expected {expected}, and found {found}")]
    Value {
        /// Its place in the file.
        place: String,
        /// The expected range.
        expected: &'static str,
        /// The value, as in a file.
        found: String,
    },
    /// A fault or session names something that is not in this cell.
    #[error("expected the name of a {what} ({known}), and found {name:?}")]
    Unknown {
        /// Kind of thing.
        what: &'static str,
        /// The name given.
        name: String,
        /// The existing names.
        known: String,
    },
}

impl PartError {
    /// Nothing of this kind has this name; `known` are the names there are.
    pub(super) fn unknown<'a>(
        what: &'static str,
        name: &str,
        known: impl Iterator<Item = &'a str>,
    ) -> Self {
        let known = known.collect::<Vec<_>>().join(", ");
        Self::Unknown { what, name: name.into(), known }
    }
}
