use nalgebra::Point2;

/// An upright prism: closed loops on the plan, from `z0` to `z1`.
///
/// The first loop is the outside, counter-clockwise seen from +Z; every further loop is a hole,
/// clockwise. So the solid always lies to the left of an edge. Coordinates are those of the
/// body's own frame, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Prism {
    /// Corners of each loop, chords standing for rounded corners.
    pub loops: Vec<Vec<Point2<f64>>>,
    /// Height of the underside, mm.
    pub z0: f64,
    /// Height of the top face, mm.
    pub z1: f64,
}
