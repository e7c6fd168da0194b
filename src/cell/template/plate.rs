//! A plate of any outline, laid so that it can be felt and welded like one of a template.

use super::outline_error::OutlinePartError;
use crate::geometry::{Point2, ray_crosses, signed_area};

/// A point of the plan, mm.
type Corner = [f64; 2];

/// A coordinate to 0.1 µm, far finer than drawings are read: files and links carry every digit.
fn settled(mm: f64) -> f64 {
    (mm * 1e4).round() / 1e4
}

/// Nearest that two corners may be, mm: twice what a checked outline asks.
const APART: f64 = 2e-4;
/// How far the outline may reach in front of its front edge, mm.
const IN_FRONT: f64 = 0.05;
/// A side that is felt along X leans no more than this from upright on the plan: cosine of 60°.
const FACES_SIDE: f64 = 0.5;
/// Least distance of a search from edges beside the one that is felt, mm.
const BESIDE: f64 = 4.0;

/// An outline with its holes: counter-clockwise, its front edge along X at Y = 0, nothing of it left of
/// X = 0.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plate {
    pub(super) corners: Vec<Corner>,
    pub(super) holes: Vec<Vec<Corner>>,
    /// Number of the front edge.
    pub(super) front: usize,
}

/// An edge that is felt along X: its number, the middle of it, and its direction outwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Side {
    pub(super) edge: usize,
    pub(super) middle: Corner,
    pub(super) out: Corner,
    pub(super) length: f64,
}

impl Plate {
    pub(super) fn new(
        corners: &[Corner],
        holes: &[Vec<Corner>],
        front: usize,
    ) -> Result<Self, OutlinePartError> {
        let n = corners.len();
        if front >= n {
            return Err(OutlinePartError::NoSuchEdge { edge: front, edges: n });
        }
        let (mut corners, mut front) = (corners.to_vec(), front);
        let points: Vec<Point2<f64>> = corners.iter().map(|c| Point2::from(*c)).collect();
        if signed_area(&points) < 0.0 {
            corners.reverse();
            // Edge i joined corners i and i + 1, which now are n − 1 − i and n − 2 − i.
            front = (2 * n - 2 - front) % n;
        }
        let (a, b) = (corners[front], corners[(front + 1) % n]);
        let length = distance(a, b);
        let [cos, sin] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
        let turned = |p: &Corner| {
            let [x, y] = [p[0] - a[0], p[1] - a[1]];
            [x * cos + y * sin, y * cos - x * sin]
        };
        let mut laid: Vec<Corner> = corners.iter().map(turned).collect();
        let left = laid.iter().map(|p| p[0]).fold(f64::INFINITY, f64::min);
        if !laid.iter().all(|p| p[1] >= -IN_FRONT) {
            return Err(OutlinePartError::NotOutermost);
        }
        let settle = |p: &mut Corner| *p = [p[0] - left, p[1]].map(settled);
        laid.iter_mut().for_each(settle);
        laid[front][1] = 0.0;
        laid[(front + 1) % n][1] = 0.0;
        let hole = |hole: &Vec<Corner>| {
            let mut laid: Vec<Corner> = hole.iter().map(turned).collect();
            laid.iter_mut().for_each(settle);
            thinned(&laid)
        };
        // The front edge comes first, so that thinning keeps its number.
        laid.rotate_left(front);
        Ok(Self { corners: thinned(&laid), holes: holes.iter().map(hole).collect(), front: 0 })
    }

    /// From its lower left corner to its upper right one, mm.
    pub(super) fn size(&self) -> Corner {
        self.corners.iter().fold([0.0; 2], |size, p| [size[0].max(p[0]), size[1].max(p[1])])
    }

    /// Where its front edge begins and ends along X.
    pub(super) fn front_ends(&self) -> [f64; 2] {
        [self.corners[0][0], self.corners[1][0]]
    }

    fn edges(&self) -> impl Iterator<Item = [Corner; 2]> {
        let n = self.corners.len();
        (0..n).map(move |i| [self.corners[i], self.corners[(i + 1) % n]])
    }

    fn all_edges(&self) -> impl Iterator<Item = [Corner; 2]> {
        let holes = self
            .holes
            .iter()
            .flat_map(|hole| (0..hole.len()).map(move |i| [hole[i], hole[(i + 1) % hole.len()]]));
        self.edges().chain(holes)
    }

    /// The stretches along X over which a strip from one Y to another is whole.
    pub(super) fn room(&self, low: f64, high: f64) -> Vec<[f64; 2]> {
        let mut taken: Vec<[f64; 2]> = self
            .all_edges()
            .filter_map(|[a, b]| {
                let at =
                    |y: f64| a[0] + (b[0] - a[0]) * ((y - a[1]) / (b[1] - a[1])).clamp(0.0, 1.0);
                let meets = a[1].max(b[1]) >= low && a[1].min(b[1]) <= high;
                let ends = if a[1] == b[1] { [a[0], b[0]] } else { [at(low), at(high)] };
                meets.then(|| [ends[0].min(ends[1]), ends[0].max(ends[1])])
            })
            .collect();
        taken.sort_by(|p, q| p[0].total_cmp(&q[0]));
        let mut room = Vec::new();
        let mut until = f64::NEG_INFINITY;
        for [from, to] in taken {
            if from > until && self.holds([f64::midpoint(until, from), f64::midpoint(low, high)]) {
                room.push([until, from]);
            }
            until = until.max(to);
        }
        room
    }

    /// Whether a point lies on the plate.
    fn holds(&self, p: Corner) -> bool {
        self.all_edges().filter(|edge| ray_crosses(p, *edge)).count() % 2 == 1
    }

    /// The best edge to feel along X, of those at least so long whose search of that length is free.
    pub(super) fn side(&self, least: f64, search: f64) -> Option<Side> {
        let side = |(edge, [a, b]): (usize, [Corner; 2])| {
            let length = distance(a, b);
            let out = [(b[1] - a[1]) / length, (a[0] - b[0]) / length];
            let middle = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
            let side = Side { edge, middle, out, length };
            let good = length >= least && out[0].abs() >= FACES_SIDE && self.is_free(side, search);
            good.then_some(side)
        };
        // The left of two that are alike: a clamp stands on the right.
        let worth = |side: &Side| side.out[0].abs() + if side.out[0] < 0.0 { 0.1 } else { 0.0 };
        self.edges().enumerate().filter_map(side).max_by(|a, b| worth(a).total_cmp(&worth(b)))
    }

    /// Whether nothing of the plate lies beside the way from outside to the middle of an edge.
    fn is_free(&self, side: Side, search: f64) -> bool {
        let others = || self.edges().enumerate().filter(|(i, _)| *i != side.edge);
        (1..=16).all(|i| {
            let off = search * f64::from(i) / 16.0;
            let p = [side.middle[0] + side.out[0] * off, side.middle[1] + side.out[1] * off];
            !self.holds(p) && others().all(|(_, edge)| from_edge(p, edge) >= BESIDE)
        })
    }
}

fn distance(a: Corner, b: Corner) -> f64 {
    libm::hypot(b[0] - a[0], b[1] - a[1])
}

fn from_edge(p: Corner, [a, b]: [Corner; 2]) -> f64 {
    let (u, v) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let share = ((u[0] * v[0] + u[1] * v[1]) / (u[0] * u[0] + u[1] * u[1])).clamp(0.0, 1.0);
    distance(p, [a[0] + u[0] * share, a[1] + u[1] * share])
}

/// Without corners that are the same as the one before.
fn thinned(corners: &[Corner]) -> Vec<Corner> {
    let mut kept: Vec<Corner> = Vec::with_capacity(corners.len());
    for corner in corners {
        if kept.last().is_none_or(|last| distance(*last, *corner) >= APART) {
            kept.push(*corner);
        }
    }
    while kept.len() > 1 && distance(kept[kept.len() - 1], kept[0]) < APART {
        kept.pop();
    }
    kept
}
