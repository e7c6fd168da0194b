use super::outline::{MAX_COORDINATE_MM, Outline, OutlineError};
use super::outline_check::segments_meet;
use super::polygon::ray_crosses;
use nalgebra::{Point2, Point3};
use thiserror::Error;

/// Greatest number of edges of a prism, roundings as chords.
pub const MAX_EDGES: usize = 5000;

/// An upright prism: closed loops on the plan, from `z0` to `z1`.
///
/// The first loop is the outside, counter-clockwise seen from +Z; every further loop is a hole,
/// clockwise: the solid is always to the left of an edge. Coordinates in the body's own frame, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Prism {
    /// Corners of each loop, rounded corners as chords.
    pub loops: Vec<Vec<Point2<f64>>>,
    /// Height of the underside, mm.
    pub z0: f64,
    /// Height of the top face, mm.
    pub z1: f64,
}

/// Why a body cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PrismError {
    /// Something is wrong with its outline.
    #[error("outline: {0}")]
    Outline(#[from] OutlineError),
    /// Something is wrong with a hole.
    #[error("hole {index}: {source}")]
    Hole {
        /// Index of the hole, from 0.
        index: usize,
        /// What is wrong.
        source: OutlineError,
    },
    /// A hole is not completely inside the outline.
    #[error("hole {0} is not wholly inside the outline")]
    HoleOutside(usize),
    /// Two holes share a point.
    #[error("holes {0} and {1} overlap")]
    HolesMeet(usize, usize),
    /// The heights enclose nothing.
    #[error(
        "z needs an underside below its top face, within ±{MAX_COORDINATE_MM} mm, and is [{0}, {1}]"
    )]
    NoHeight(f64, f64),
    /// Too many edges once the roundings are chords.
    #[error(
        "outline and holes come to {0} edges once rounded corners are split, and may have at most {MAX_EDGES}"
    )]
    TooManyEdges(usize),
}

impl Prism {
    /// From an outline, its holes, and the heights of underside and top face, mm.
    ///
    /// # Errors
    /// The first problem.
    pub fn new(outline: &Outline, holes: &[Outline], z: [f64; 2]) -> Result<Self, PrismError> {
        let [z0, z1] = z;
        let usable = |v: f64| v.is_finite() && v.abs() <= MAX_COORDINATE_MM;
        if !(usable(z0) && usable(z1) && z0 < z1) {
            return Err(PrismError::NoHeight(z0, z1));
        }
        outline.check()?;
        let mut loops = vec![outline.flattened()];
        for (index, hole) in holes.iter().enumerate() {
            hole.check().map_err(|source| PrismError::Hole { index, source })?;
            let mut points = hole.flattened();
            points.reverse();
            loops.push(points);
        }
        let edges = loops.iter().map(Vec::len).sum();
        if edges > MAX_EDGES {
            return Err(PrismError::TooManyEdges(edges));
        }
        for i in 1..loops.len() {
            if loops_cross(&loops[0], &loops[i]) || !inside(&loops[0], &loops[i][0]) {
                return Err(PrismError::HoleOutside(i - 1));
            }
            for j in 1..i {
                let (a, b) = (&loops[j], &loops[i]);
                if loops_cross(a, b) || inside(a, &b[0]) || inside(b, &a[0]) {
                    return Err(PrismError::HolesMeet(j - 1, i - 1));
                }
            }
        }
        Ok(Self { loops, z0, z1 })
    }

    /// Whether the point is inside the outline and outside the holes; body's own frame.
    pub fn covers(&self, p: &Point2<f64>) -> bool {
        self.loops.iter().filter(|l| inside(l, p)).count() % 2 == 1
    }

    /// Whether the point, in the body's own frame, is inside the solid.
    pub fn contains(&self, p: &Point3<f64>) -> bool {
        self.z0 <= p.z && p.z <= self.z1 && self.covers(&p.xy())
    }
}

fn inside(points: &[Point2<f64>], p: &Point2<f64>) -> bool {
    let edges = points.iter().zip(points.iter().cycle().skip(1));
    edges.filter(|(a, b)| ray_crosses((*p).into(), [(**a).into(), (**b).into()])).count() % 2 == 1
}

/// Whether two loops share a point.
fn loops_cross(a: &[Point2<f64>], b: &[Point2<f64>]) -> bool {
    let edge = |l: &[Point2<f64>], i: usize| (l[i], l[(i + 1) % l.len()]);
    (0..a.len()).any(|i| (0..b.len()).any(|j| segments_meet(edge(a, i), edge(b, j))))
}
