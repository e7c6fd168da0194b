use super::Dimension;
use crate::cell::PartError;
use thiserror::Error;

/// Why no part can be made of what is filled in.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum DraftError {
    /// A dimension is out of its limits.
    #[error(
        "{}: expected {low} to {high} {}, and found {found}", dimension.id(), dimension.unit()
    )]
    Dimension {
        /// Which.
        dimension: Dimension,
        /// Its least value here.
        low: f64,
        /// Its greatest value here.
        high: f64,
        /// What was filled in.
        found: f64,
    },
    /// It has no usable title.
    #[error(transparent)]
    Part(#[from] PartError),
}
