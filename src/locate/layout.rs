//! Checks the touches one by one and face by face, and prepares them for the estimators.

use super::error::{BadNumber, LocateError, MAX_LENGTH_MM, MAX_SEARCH_SPREAD_RAD};
use super::face::{Face, faces};
use super::row::{PerTouch, TouchRow, unit};
use super::{Freedoms, Touch};
use nalgebra::{Point3, Vector3};
use smallvec::SmallVec;

/// Checked touches.
#[derive(Debug, Clone)]
pub(crate) struct TouchLayout {
    pub(crate) freedoms: Freedoms,
    /// The point that the estimators rotate about, work frame, mm. The centroid of the reference
    /// contacts keeps the sums small wherever the part is; it is the frame origin where the freedoms
    /// allow no other pivot.
    pub(crate) centre: Point3<f64>,
    pub(crate) rows: PerTouch<TouchRow>,
}

impl TouchLayout {
    /// Checks in a fixed order: usable numbers, contacts found (if `current` is set),
    /// enough touches, parallel searches, then face by face. `sigma` in mm.
    pub(crate) fn new(
        freedoms: Freedoms,
        touches: &[Touch],
        sigma: f64,
        current: bool,
    ) -> Result<Self, LocateError> {
        if !(sigma > 0.0 && sigma <= MAX_LENGTH_MM) {
            return Err(LocateError::BadSigma { sigma_mm: sigma });
        }
        let mut rows: PerTouch<TouchRow> = SmallVec::new();
        for (touch, t) in touches.iter().enumerate() {
            let bad = |what| LocateError::BadInput { touch, what };
            let d = unit(freedoms.project(t.search)).ok_or(bad(BadNumber::Search))?;
            let r = place(freedoms, &t.reference).ok_or(bad(BadNumber::Reference))?;
            let c = match t.current {
                Some(c) if current => place(freedoms, &c).ok_or(bad(BadNumber::Current))?,
                _ => r,
            };
            rows.push(TouchRow { d, r, c, n: d, h: 0.0 });
        }
        if current && let Some(touch) = touches.iter().position(|t| t.current.is_none()) {
            return Err(LocateError::NoContact { touch });
        }
        let (needed, got) = (freedoms.needed_touches(), rows.len());
        if got < needed {
            return Err(LocateError::TooFew { freedoms, needed, got });
        }
        if freedoms.is_empty() {
            return Err(LocateError::NoFreedom);
        }
        if freedoms == Freedoms::ALONG_SEARCH {
            parallel(&rows)?;
        }
        let centre = if freedoms.any_pivot() {
            rows.iter().map(|row| row.r).sum::<Vector3<f64>>() / got as f64
        } else {
            Vector3::zeros()
        };
        for row in &mut rows {
            row.r -= centre;
            row.c -= centre;
        }
        for face in faces(touches) {
            Face::of(face, freedoms, touches, &rows, sigma)?.write_to(&mut rows, touches);
        }
        Ok(Self { freedoms, centre: centre.into(), rows })
    }

    /// The centroid of the points, mm, and the characteristic length: their rms distance
    /// from it, mm; in the plane for freedoms without tilt. Where the pivot is fixed, it takes the
    /// place of the centroid.
    pub(crate) fn spread(&self, point: impl Fn(&TouchRow) -> Vector3<f64>) -> (Vector3<f64>, f64) {
        let n = self.rows.len() as f64;
        let centroid = if self.freedoms.any_pivot() {
            self.rows.iter().map(&point).sum::<Vector3<f64>>() / n
        } else {
            Vector3::zeros()
        };
        let flat = !self.freedoms.tilts();
        let square = |row| {
            let v: Vector3<f64> = point(row) - centroid;
            v.x * v.x + v.y * v.y + if flat { 0.0 } else { v.z * v.z }
        };
        (centroid, (self.rows.iter().map(square).sum::<f64>() / n).sqrt())
    }
}

fn parallel(rows: &[TouchRow]) -> Result<(), LocateError> {
    for (touch, row) in rows.iter().enumerate() {
        let (sine, cosine) = (rows[0].d.cross(&row.d).norm(), rows[0].d.dot(&row.d).abs());
        let angle = libm::atan2(sine, cosine);
        if angle > MAX_SEARCH_SPREAD_RAD {
            return Err(LocateError::NotParallel { touch, angle });
        }
    }
    Ok(())
}

/// The coordinates that count, if all are within [`MAX_LENGTH_MM`].
fn place(freedoms: Freedoms, p: &Point3<f64>) -> Option<Vector3<f64>> {
    let usable = p.iter().all(|v| v.abs() <= MAX_LENGTH_MM);
    usable.then(|| freedoms.project(p.coords))
}
