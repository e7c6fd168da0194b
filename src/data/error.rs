use std::fmt;

/// What in a file is not as our type asks: the place, and what was expected there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct DataError(String);

impl DataError {
    /// The same error, seen from the list around it; numbers from 1.
    #[inline(never)]
    pub(super) fn within_number(self, number: usize) -> Self {
        self.within(&format!("number {number}"))
    }

    /// The same error, seen from the object around it.
    #[inline(never)]
    pub(super) fn within(self, place: &str) -> Self {
        Self(format!("{place}: {}", self.0))
    }
}

impl serde::de::Error for DataError {
    fn custom<T: fmt::Display>(what: T) -> Self {
        Self(what.to_string())
    }
}
