//! The reference line (planar freedoms) or plane (in space) of one face.

use super::consistency::chi2_limit;
use super::error::{LocateError, MIN_BASELINE_MM, MIN_STEEPNESS};
use super::row::{PerTouch, TouchRow, unit};
use super::{Freedoms, Touch};
use nalgebra::{Matrix3, Vector3};

/// Standard deviation of the turn for the advised baseline of a face, radians: 0.1°.
const ADVISED_TURN: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// A search this far from level or plumb is not meant for an upright or level face, radians: 15°
/// (common practice, no source).
const MAX_ASLANT: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// A face as estimated from its reference contacts, relative to the layout's centre, mm.
///
/// The normal points into the part (along the searches) and comes from
///
/// | reference contacts | normal |
/// |---|---|
/// | one place | the search direction: the face is assumed square to the search |
/// | plane, 2 or more | perpendicular to the total-least-squares line |
/// | space, on one line | among the planes through the line the one nearest to square to the search |
/// | space, 3 or more | normal of the total-least-squares plane |
/// | space, 3 or more, no tilt | upright or level, if the contacts agree with that |
///
/// Without tilt an upright face stays upright, and a level one level. A slope of it that comes out
/// of the noise of a few contacts at nearly the same height would turn a change of height into a
/// slide. So the face leans only if the contacts say so: if its best lean takes more than the 99 %
/// point of chi-squared off the sum of squares.
pub(crate) struct Face {
    label: usize,
    normal: Vector3<f64>,
    centroid: Vector3<f64>,
}

/// The distinct face labels in the order of their first touch.
pub(crate) fn faces(touches: &[Touch]) -> PerTouch<usize> {
    let mut labels = PerTouch::new();
    for t in touches {
        if !labels.contains(&t.face) {
            labels.push(t.face);
        }
    }
    labels
}

impl Face {
    /// Estimates the face with this label and checks its touches. `sigma` in mm.
    pub(crate) fn of(
        face: usize,
        freedoms: Freedoms,
        touches: &[Touch],
        rows: &[TouchRow],
        sigma: f64,
    ) -> Result<Self, LocateError> {
        let on: PerTouch<usize> = (0..touches.len()).filter(|&i| touches[i].face == face).collect();
        let n = on.len() as f64;
        let mean = |of: &dyn Fn(&TouchRow) -> Vector3<f64>| {
            on.iter().map(|&i| of(&rows[i])).sum::<Vector3<f64>>() / n
        };
        let search = mean(&|row| row.d);
        let mismatch = |other| LocateError::FaceMismatch { face, first: on[0], other };
        if let Some(&other) = on.iter().find(|&&i| rows[i].d.dot(&rows[on[0]].d) < 0.0) {
            return Err(mismatch(other));
        }
        let search = unit(search).ok_or(mismatch(on[on.len() - 1]))?;
        let (touches, spread_mm) = widest(&on, rows);
        if on.len() > 1 && freedoms.rotates() && spread_mm < MIN_BASELINE_MM {
            let advised_mm = std::f64::consts::SQRT_2 * sigma / ADVISED_TURN;
            return Err(LocateError::ShortBaseline {
                face,
                touches,
                n_touches: on.len(),
                spread_mm,
                advised_mm,
            });
        }
        let centroid = mean(&|row| row.r);
        let normal = if spread_mm < MIN_BASELINE_MM {
            search
        } else if freedoms.is_planar() {
            line_normal(&on, rows, centroid)
        } else {
            let lean = if freedoms.tilts() { Lean::Any } else { Lean::IfSeen { sigma } };
            plane_normal(&on, rows, centroid, search, lean)
        };
        let normal = if normal.dot(&search) < 0.0 { -normal } else { normal };
        for &touch in &on {
            let steepness = normal.dot(&rows[touch].d);
            if steepness < MIN_STEEPNESS {
                return Err(if steepness <= -MIN_STEEPNESS {
                    mismatch(touch)
                } else {
                    LocateError::Grazing {
                        face,
                        touch,
                        angle: libm::asin(steepness.abs().min(1.0)),
                    }
                });
            }
        }
        Ok(Self { label: face, normal, centroid })
    }

    /// Writes normal and offset into the rows of its touches.
    pub(crate) fn write_to(&self, rows: &mut [TouchRow], touches: &[Touch]) {
        for (row, _) in rows.iter_mut().zip(touches).filter(|(_, t)| t.face == self.label) {
            row.n = self.normal;
            row.h = self.normal.dot(&self.centroid);
        }
    }
}

/// The two contacts farthest apart, and their distance, mm.
fn widest(on: &[usize], rows: &[TouchRow]) -> ([usize; 2], f64) {
    let mut best = ([on[0], on[0]], 0.0);
    for (k, &i) in on.iter().enumerate() {
        for &j in &on[k + 1..] {
            let distance = (rows[i].r - rows[j].r).norm();
            if distance > best.1 {
                best = ([i, j], distance);
            }
        }
    }
    best
}

/// Scatter matrix of the reference contacts about `centroid`, mm².
fn scatter(on: &[usize], rows: &[TouchRow], centroid: Vector3<f64>) -> Matrix3<f64> {
    on.iter().map(|&i| rows[i].r - centroid).map(|v| v * v.transpose()).sum()
}

/// Normal of the total-least-squares line in the plane: the axis of least
/// scatter, at half the angle of (Sxx − Syy, 2 Sxy) plus a right angle.
fn line_normal(on: &[usize], rows: &[TouchRow], centroid: Vector3<f64>) -> Vector3<f64> {
    let along = if let [i, j] = on {
        let v = rows[*j].r - rows[*i].r;
        v / v.norm()
    } else {
        let s = scatter(on, rows, centroid);
        let angle = 0.5 * libm::atan2(2.0 * s.m12, s.m11 - s.m22);
        Vector3::new(libm::cos(angle), libm::sin(angle), 0.0)
    };
    Vector3::new(-along.y, along.x, 0.0)
}

/// Whether a plane through contacts may lean a little more or less than it seems.
#[derive(Clone, Copy)]
enum Lean {
    /// It is as the contacts have it.
    Any,
    /// It is upright or level unless the contacts, of this standard deviation in mm, say otherwise.
    IfSeen { sigma: f64 },
}

/// Normal of the total-least-squares plane; for contacts on one line (width below
/// [`MIN_BASELINE_MM`]) the normal of the line nearest to the search.
fn plane_normal(
    on: &[usize],
    rows: &[TouchRow],
    centroid: Vector3<f64>,
    search: Vector3<f64>,
    lean: Lean,
) -> Vector3<f64> {
    let scatter = scatter(on, rows, centroid);
    let eigen = scatter.symmetric_eigen();
    let mut order = [0, 1, 2];
    order.sort_by(|&a, &b| eigen.eigenvalues[a].total_cmp(&eigen.eigenvalues[b]));
    let width = eigen.eigenvalues[order[1]].max(0.0).sqrt();
    if on.len() == 2 || width < MIN_BASELINE_MM {
        let along: Vector3<f64> = eigen.eigenvectors.column(order[2]).into();
        // A search along the line leaves the zero vector, which is reported as grazing.
        return unit(search - along * search.dot(&along)).unwrap_or_default();
    }
    if let Lean::IfSeen { sigma } = lean
        && let Some((normal, leans)) = straight(on, rows, centroid, search)
    {
        let more = normal.dot(&(scatter * normal)) - eigen.eigenvalues[order[0]].max(0.0);
        if more <= sigma * sigma * chi2_limit(leans) {
            return normal;
        }
    }
    eigen.eigenvectors.column(order[0]).into()
}

/// Normal of the face if it is upright (searched from the side) or level (searched from above or
/// below), and how many leans that leaves out; `None` for a search aslant.
fn straight(
    on: &[usize],
    rows: &[TouchRow],
    centroid: Vector3<f64>,
    search: Vector3<f64>,
) -> Option<(Vector3<f64>, usize)> {
    let (sin, cos) = libm::sincos(MAX_ASLANT);
    match search.z.abs() {
        z if z <= sin => Some((line_normal(on, rows, centroid), 1)),
        z if z >= cos => Some((Vector3::z(), 2)),
        _ => None,
    }
}
