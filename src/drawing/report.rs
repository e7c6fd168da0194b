//! What is said of a drawing.

use super::remark::Remark;
use super::unit::UnitSaid;
use crate::geometry::ray_crosses;
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

impl DrawingReport {
    /// The outlines that lie within another one, and within none between them: its holes.
    pub fn within(&self, outer: usize) -> impl Iterator<Item = &OutlineReport> {
        let inside = move |i: usize, o: usize| {
            let (inner, outer) = (&self.outlines[i], &self.outlines[o]);
            i != o
                && inner.area_mm2 < outer.area_mm2
                && inner.corners.iter().all(|p| outer.holds(*p))
        };
        let all = 0..self.outlines.len();
        all.clone()
            .filter(move |i| {
                let between = |k: usize| inside(*i, k) && inside(k, outer);
                inside(*i, outer) && !all.clone().any(between)
            })
            .map(|i| &self.outlines[i])
    }
}

impl OutlineReport {
    /// Whether a point lies within.
    fn holds(&self, p: [f64; 2]) -> bool {
        let edges = self.corners.iter().zip(self.corners.iter().cycle().skip(1));
        edges.filter(|(a, b)| ray_crosses(p, [**a, **b])).count() % 2 == 1
    }
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
