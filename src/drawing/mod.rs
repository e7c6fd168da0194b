//! Outlines out of drawing files, DXF and SVG.
//!
//! [`read_drawing`] turns a file into a [`Sketch`]: lines, arcs and curves in the file's own unit, with
//! all blocks and transforms applied, and a remark for every element that is none of these.
//! [`Sketch::outlines`] joins them, in mm. Circles and ellipses stay what they are, splines become
//! rational Bézier curves, which they equal; only polygons that are asked for have chords.
//!
//! The readers stand behind the feature `drawing`: the page has them in a worker that it loads when a
//! file is opened. What they say of a drawing is a [`DrawingReport`], which the page knows.

#[cfg(feature = "drawing")]
mod arc;
#[cfg(feature = "drawing")]
mod bezier;
#[cfg(feature = "drawing")]
mod curve;
#[cfg(feature = "drawing")]
mod dxf;
#[cfg(feature = "drawing")]
mod error;
#[cfg(feature = "drawing")]
mod join;
#[cfg(feature = "drawing")]
mod outline;
#[cfg(feature = "drawing")]
mod outlines;
#[cfg(feature = "drawing")]
mod read;
mod remark;
mod report;
#[cfg(feature = "drawing")]
mod sketch;
#[cfg(feature = "drawing")]
mod spline;
#[cfg(feature = "drawing")]
mod svg;
mod unit;

pub use remark::{Element, Remark, Why};
pub use report::{DrawingReport, OpenReport, OutlineReport};
pub use unit::{Unit, UnitSaid};
#[cfg(feature = "drawing")]
pub use {
    curve::{Curve, Path},
    error::DrawingError,
    join::JOIN_MM,
    outline::{CHORD_MM, Chain, Closed, area_and_perimeter},
    outlines::Outlines,
    read::{read_drawing, report},
    sketch::Sketch,
};
