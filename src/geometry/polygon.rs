use nalgebra::Point2;

/// Signed area of a polygon, mm², positive counter-clockwise (shoelace formula).
pub(crate) fn signed_area(points: &[Point2<f64>]) -> f64 {
    let n = points.len();
    (0..n).map(|i| points[i].coords.perp(&points[(i + 1) % n].coords)).sum::<f64>() / 2.0
}

/// Even-odd rule: whether a ray from `p` towards +X crosses the edge from `a` to `b`. A point that as many
/// edges cross as make an odd number lies within them.
pub(crate) fn ray_crosses(p: [f64; 2], [a, b]: [[f64; 2]; 2]) -> bool {
    (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
}
