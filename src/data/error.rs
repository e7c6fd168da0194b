use std::fmt;

/// What in a file is not as our type asks: the place, and what was expected there.
// One pointer wide: every reader of every type hands it on.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct DataError(#[expect(clippy::box_collection, reason = "one pointer wide")] Box<String>);

impl DataError {
    /// The same error, seen from the list around it; numbers from 1.
    pub(super) fn within_number(self, number: usize) -> Self {
        self.within(&format!("number {number}"))
    }

    /// The same error, seen from the object around it.
    #[inline(never)]
    pub(super) fn within(self, place: &str) -> Self {
        Self(Box::new(format!("{place}: {}", self.0)))
    }

    #[inline(never)]
    fn new(what: &dyn fmt::Display) -> Self {
        Self(Box::new(what.to_string()))
    }
}

impl serde::de::Error for DataError {
    fn custom<T: fmt::Display>(what: T) -> Self {
        Self::new(&what)
    }
}
