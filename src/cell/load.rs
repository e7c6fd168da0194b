//! The part and clamps as they really are: the drawn part with the planted faults applied.

use super::part_check::range;
use super::{Fault, Part, PartError, part_by_name, parts};
use crate::geometry::{Outline, Point2, Point3, Vector2};

/// A painted stretch of a side face, part frame, mm: it does not conduct until the wire presses in.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Paint {
    pub(super) body: String,
    from: Point2<f64>,
    to: Point2<f64>,
    pub(super) depth: f64,
}

/// Greatest depth of paint, mm: pressed further, the wire would stay bent.
const MOST_PAINT: f64 = 5.0;
/// Greatest distance of a contact from the painted stretch, mm.
const ON_PAINT: f64 = 0.01;

impl Paint {
    /// Whether the point (part frame, mm) is on the painted stretch.
    pub(super) fn covers(&self, p: &Point3<f64>) -> bool {
        let (u, v) = (self.to - self.from, p.xy() - self.from);
        let s = (v.dot(&u) / u.norm_squared()).clamp(0.0, 1.0);
        (v - u * s).norm() <= ON_PAINT
    }
}

/// The part as it really is: another one, out of square, or with a moved clamp.
pub(super) fn loaded(drawn: &Part, faults: &[Fault]) -> Result<Part, PartError> {
    let mut part = drawn.clone();
    for fault in faults {
        match fault {
            Fault::WrongPart { part: name } => {
                let other = part_by_name(name).ok_or_else(|| PartError::Unknown {
                    what: "built-in part",
                    name: name.clone(),
                    known: names(parts().iter().map(|p| &p.name)),
                })?;
                part.bodies = other.bodies;
                part.seams = other.seams;
            }
            Fault::OutOfSquare { lean_deg } => {
                range("lean_deg", *lean_deg, -30.0, 30.0, "-30 to 30 degrees")?;
                lean(&mut part, libm::tan(lean_deg.to_radians()));
            }
            Fault::ClampMoved { clamp, dx, dy } => {
                range("dx", *dx, -1000.0, 1000.0, "-1000 to 1000 mm")?;
                range("dy", *dy, -1000.0, 1000.0, "-1000 to 1000 mm")?;
                let known =
                    part.clamps.iter().map(|c| c.name.as_str()).collect::<Vec<_>>().join(", ");
                let body = part
                    .clamps
                    .iter_mut()
                    .find(|c| c.name == *clamp)
                    .ok_or(PartError::Unknown { what: "clamp", name: clamp.clone(), known })?;
                let v = Vector2::new(*dx, *dy);
                each_corner(&mut body.outline, |p| p + v);
                body.holes.iter_mut().for_each(|h| each_corner(h, |p| p + v));
            }
            _ => {}
        }
    }
    Ok(part)
}

/// The painted stretches of the real part.
pub(super) fn paints(part: &Part, faults: &[Fault]) -> Result<Vec<Paint>, PartError> {
    let mut all = Vec::new();
    for fault in faults {
        let Fault::PaintedEdge { body, edge, from_mm, to_mm, depth_mm } = fault else { continue };
        let known = || names(part.bodies.iter().map(|b| &b.name));
        let on = part.bodies.iter().find(|b| b.name == *body).ok_or_else(|| {
            PartError::Unknown { what: "body", name: body.clone(), known: known() }
        })?;
        let corners = &on.outline.corners;
        if *edge >= corners.len() {
            return Err(PartError::Value {
                place: "edge".into(),
                expected: "the number of an edge of the body's outline, from 0",
                found: edge.to_string(),
            });
        }
        range("from_mm", *from_mm, 0.0, *to_mm, "0 to to_mm")?;
        range("to_mm", *to_mm, 0.0, 1e6, "a length along the edge")?;
        range("depth_mm", *depth_mm, 0.0, MOST_PAINT, "0 to 5 mm")?;
        let (a, b) = (corners[*edge].at, corners[(edge + 1) % corners.len()].at);
        let u = (b - a).normalize();
        let (from, to) = (a + u * *from_mm, a + u * *to_mm);
        all.push(Paint { body: body.clone(), from, to, depth: *depth_mm });
    }
    Ok(all)
}

/// Shears the part along X: lines along Y lean counter-clockwise by the angle with tangent `tan`.
fn lean(part: &mut Part, tan: f64) {
    for body in &mut part.bodies {
        for outline in std::iter::once(&mut body.outline).chain(&mut body.holes) {
            each_corner(outline, |p| Point2::new(p.x - p.y * tan, p.y));
            // A round hole fills its square: in the sheared square its radius is a little smaller.
            outline.fit_roundings();
        }
    }
    for seam in &mut part.seams {
        seam.from.x -= seam.from.y * tan;
        seam.to.x -= seam.to.y * tan;
    }
}

fn each_corner(outline: &mut Outline, f: impl Fn(Point2<f64>) -> Point2<f64>) {
    for corner in &mut outline.corners {
        corner.at = f(corner.at);
    }
}

fn names<'a>(all: impl Iterator<Item = &'a String>) -> String {
    all.map(String::as_str).collect::<Vec<_>>().join(", ")
}
