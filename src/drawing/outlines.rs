use super::curve::{Curve, Path};
use super::error::DrawingError;
use super::join::join;
use super::outline::{Chain, Closed, SAME_MM};
use super::remark::{Remark, Why};
use super::sketch::Sketch;
use kurbo::{Affine, Point};
use std::collections::HashSet;

/// Farthest from the origin, mm: ten times what a part may measure.
const FAR_MM: f64 = 100_000.0;

/// The outlines of a drawing, mm, Y upwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlines {
    /// To choose from: those that the file closes, then those that were joined, in its order.
    pub closed: Vec<Closed>,
    /// What stayed open.
    pub open: Vec<Chain>,
    /// Where three lines or more meet, so that another choice of two would do as well.
    pub forks: Vec<Point>,
    /// What no outline has come of, or another one than is seen.
    pub remarks: Vec<Remark>,
}

impl Sketch {
    /// Joins what is loose, where one unit of the drawing is so many mm.
    ///
    /// # Errors
    /// If nothing is left, or if too many lines meet in one place.
    pub fn outlines(self, unit_mm: f64) -> Result<Outlines, DrawingError> {
        let mut remarks = self.remarks;
        let mut remark = |path: &Path, why: Why| {
            remarks.push(Remark { element: path.element.clone(), why, times: 1 });
        };
        let mut seen = HashSet::new();
        let mut paths = Vec::new();
        for mut path in self.paths {
            for curve in &mut path.curves {
                *curve = curve.mapped(Affine::scale(unit_mm));
            }
            let hull = || path.curves.iter().flat_map(Curve::hull);
            if hull().any(|p| !(p.x.abs() <= FAR_MM && p.y.abs() <= FAR_MM)) {
                remark(&path, Why::TooFar);
            } else if hull().all(|p| path.start().distance(p) <= SAME_MM) {
                remark(&path, Why::NoLength);
            } else if seen.insert(shape(&path)) {
                paths.push(path);
            } else {
                remark(&path, Why::Twice);
            }
        }
        let joined = join(paths)?;
        if joined.closed.is_empty() && joined.open.is_empty() {
            return Err(DrawingError::Nothing(remarks.len()));
        }
        let (closed, open, forks) = (joined.closed, joined.open, joined.forks);
        Ok(Outlines { closed, open, forks, remarks })
    }
}

/// Micrometres of what tells one path from another: the same for one that is drawn the other way round.
fn shape(path: &Path) -> Vec<(i64, i64)> {
    let whole = |p: Point| ((p.x * 1000.0).round() as i64, (p.y * 1000.0).round() as i64);
    let points = |curves: &[Curve]| {
        let mut points = vec![path.start()];
        for curve in curves {
            // Coarse: some points of it will do.
            curve.flatten(1.0, &mut points);
        }
        points.into_iter().map(whole).collect::<Vec<_>>()
    };
    let mut there = points(&path.curves);
    let back: Vec<_> = there.iter().rev().copied().collect();
    if back < there {
        there = back;
    }
    there
}
