//! What the page and the command line learn of a drawing.

use super::remark::Remark;
use super::unit::UnitSaid;
use serde::{Deserialize, Serialize};

/// A drawing as it was read. Lengths are mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DrawingReport {
    /// What the file says of its unit.
    pub unit: UnitSaid,
    /// What the outlines were reckoned with: mm for one unit of the drawing.
    pub unit_mm: f64,
    /// Those that are closed, the largest first.
    pub outlines: Vec<OutlineReport>,
    /// What stayed open.
    pub open: Vec<OpenReport>,
    /// Where three lines or more meet.
    pub forks: Vec<[f64; 2]>,
    /// What no outline has come of, or another one than is seen.
    pub remarks: Vec<Remark>,
}

/// A closed outline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutlineReport {
    /// The first element of it, as a person finds it in the file.
    pub element: String,
    /// The area within it, mm².
    pub area_mm2: f64,
    /// Its length, mm.
    pub perimeter_mm: f64,
    /// The greatest gap that was closed, mm.
    pub gap_mm: f64,
    /// Corners, counter-clockwise, with chords for arcs and curves.
    pub corners: Vec<[f64; 2]>,
}

/// Lines that close no outline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OpenReport {
    /// The first element of it.
    pub element: String,
    /// From its end to its start, mm.
    pub open_by_mm: f64,
    /// Points, with chords for arcs and curves.
    pub points: Vec<[f64; 2]>,
}
