use super::DraftError;
use crate::cell::PartError;
use thiserror::Error;

/// Why no part can be made of an outline.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum OutlinePartError {
    /// There is no edge of that number.
    #[error("expected an edge from 0 to {}, and found {edge}", edges.saturating_sub(1))]
    NoSuchEdge {
        /// The number.
        edge: usize,
        /// How many there are.
        edges: usize,
    },
    /// The outline reaches in front of its front edge.
    #[error("the front edge must be an outermost one: nothing of the plate may lie in front of it")]
    NotOutermost,
    /// Two touches do not find room on the front edge.
    #[error("the front edge must be at least {least:.0} mm long, and it is {found:.0} mm")]
    FrontTooShort {
        /// Least length, mm.
        least: f64,
        /// Its length, mm.
        found: f64,
    },
    /// No other edge can be felt along X.
    #[error(
        "no edge at the side can be felt: one of at least {least:.0} mm is needed, with free way before it"
    )]
    NoSide {
        /// Least length, mm.
        least: f64,
    },
    /// What is welded on does not stand on the plate.
    #[error("the rail does not stand on the plate, with 20 mm of it in front and at either end")]
    RailOffPlate,
    /// A dimension is out of its limits.
    #[error(transparent)]
    Draft(#[from] DraftError),
    /// The outline itself cannot be used.
    #[error(transparent)]
    Part(#[from] PartError),
}
