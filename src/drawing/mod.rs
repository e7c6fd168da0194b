//! Outlines out of drawing files, DXF and SVG.
//!
//! [`read_drawing`] turns a file into a [`Sketch`]: lines, arcs and curves in the file's own unit, with
//! all blocks and transforms applied, and a remark for every element that is none of these.
//! [`Sketch::outlines`] joins them, in mm. Circles and ellipses stay what they are, splines become
//! rational Bézier curves, which they equal; only polygons that are asked for have chords.
//!
//! All of it stands behind the feature `drawing`: the page asks a worker for it ([`crate::background`]). What is
//! said of a drawing is a [`DrawingReport`].

mod arc;
mod bezier;
mod curve;
mod dxf;
mod error;
mod join;
mod outline;
mod outlines;
mod read;
mod remark;
mod report;
mod sketch;
mod spline;
mod svg;
mod unit;

pub use curve::{Curve, Path};
pub use error::DrawingError;
pub use join::JOIN_MM;
pub use outline::{CHORD_MM, Chain, Closed, area_and_perimeter};
pub use outlines::Outlines;
pub use read::{read_drawing, report};
pub use remark::{Element, Remark, Why};
pub use report::{DrawingReport, OpenReport, OutlineReport};
pub use sketch::Sketch;
pub use unit::{Unit, UnitSaid};
