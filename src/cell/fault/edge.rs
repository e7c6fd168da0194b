use crate::cell::Part;
use crate::geometry::{Point3, Vector3};

/// Where a level search meets the outline of a body.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeMet {
    /// Name of the body.
    pub body: String,
    /// Number of the edge of its outline, from 0.
    pub edge: usize,
    /// How far along the edge, mm from its first corner.
    pub along_mm: f64,
    /// Length of the edge, mm.
    pub length_mm: f64,
}

impl EdgeMet {
    /// The stretch of the edge within this distance of the place, mm.
    pub fn around(&self, mm: f64) -> [f64; 2] {
        [(self.along_mm - mm).max(0.0), (self.along_mm + mm).min(self.length_mm)]
    }
}

/// The edge of the part that a search from here along the unit vector `d` meets first; `None` where it
/// is not level, or meets none. Part frame, mm.
pub fn edge_met(part: &Part, from: &Point3<f64>, d: &Vector3<f64>) -> Option<EdgeMet> {
    if d.xy().norm() < 0.5 {
        return None;
    }
    let mut best: Option<(f64, EdgeMet)> = None;
    for body in part.bodies.iter().filter(|b| b.z[0] <= from.z + 1.0 && from.z <= b.z[1]) {
        for edge in 0..body.outline.corners.len() {
            let Some([a, b]) = body.edge(edge) else { continue };
            let u = b - a;
            let cross = d.x * u.y - d.y * u.x;
            if cross.abs() < 1e-9 {
                continue;
            }
            let v = a - from.xy();
            let travel = (v.x * u.y - v.y * u.x) / cross;
            let share = (v.x * d.y - v.y * d.x) / cross;
            let nearer = best.as_ref().is_none_or(|(t, _)| travel < *t);
            if travel > 0.0 && (0.0..=1.0).contains(&share) && nearer {
                let (body, length_mm) = (body.name.clone(), u.norm());
                let along_mm = share * length_mm;
                best = Some((travel, EdgeMet { body, edge, along_mm, length_mm }));
            }
        }
    }
    best.map(|(_, met)| met)
}

/// The edge that the first level touch of the part's own layout meets.
pub(super) fn first_edge_touched(part: &Part) -> Option<EdgeMet> {
    part.model_touches.iter().find_map(|t| edge_met(part, &t.from, &Vector3::from(t.direction)))
}
