use super::no_forecast::{Lack, NoForecast};
use super::planned::PlannedFind;
use crate::geometry::{Point3, Vector3};
use crate::locate::{Covariance, Freedoms, SmallMotion, TouchEffect, displaced};

/// How far the place that a find finds will be off, with the part near where it was taught. The touches scatter
/// independently, so their squares add up (JCGM 100:2008, 5.1.2).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlaceSpread {
    freedoms: Freedoms,
    touches: Vec<TouchError>,
}

/// What one standard deviation of one touch does to a found place.
#[derive(Debug, Clone, PartialEq)]
struct TouchError {
    /// Index of the step that feels.
    step: usize,
    off: SmallMotion,
    /// Where it touches, mm.
    contact: Point3<f64>,
}

impl PlaceSpread {
    /// The spread of the place that a find finds. Touches that ride with a coarse place see how far that one is
    /// off, and mend of it what they can tell: of its error ε, `ε − Σ gᵢ sᵢ·ε` stays.
    pub(super) fn of(finds: &[PlannedFind], n: usize) -> Result<Self, NoForecast> {
        let find = &finds[n];
        let (forecast, faces) = find.forecast();
        let effects = forecast
            .map_err(|error| NoForecast { why: error.said(faces.all()), lack: Lack::from(&error) })?
            .effects;
        let mut touches = match find.after {
            Some(coarse) => Self::of(finds, coarse)?.left_by(&effects),
            None => Vec::new(),
        };
        touches.extend(find.touches.iter().zip(&effects).map(|(t, effect)| TouchError {
            step: t.step,
            off: effect.gain * t.sigma_mm,
            contact: t.contact.unwrap_or(t.from),
        }));
        Ok(Self { freedoms: find.may, touches })
    }

    fn left_by(self, effects: &[TouchEffect]) -> Vec<TouchError> {
        let left = |off: SmallMotion| {
            let mended: SmallMotion = effects.iter().map(|e| e.gain * e.slope.dot(&off)).sum();
            off - mended
        };
        self.touches.into_iter().map(|t| TouchError { off: left(t.off), ..t }).collect()
    }

    pub(super) fn covariance(&self) -> Covariance {
        let full = self.touches.iter().map(|t| t.off * t.off.transpose()).sum();
        Covariance { freedoms: self.freedoms, full }
    }

    /// What each touch adds to the spread of a point in a direction of unit length, with the index of its
    /// step: one standard deviation, mm, with its sign.
    pub(super) fn parts(
        &self,
        at: &Point3<f64>,
        towards: &Vector3<f64>,
    ) -> impl Iterator<Item = (usize, f64)> {
        self.touches.iter().map(|t| (t.step, displaced(&t.off, at).dot(towards)))
    }

    /// How much of the spread of a point in a direction comes from a wrong angle, seen from the middle of the
    /// touches: from 0 to 1, of the variance.
    pub(super) fn angle_share(&self, at: &Point3<f64>, towards: &Vector3<f64>) -> f64 {
        let count = self.touches.len().max(1) as f64;
        let middle = self.touches.iter().map(|t| t.contact.coords).sum::<Vector3<f64>>() / count;
        let (mut angle, mut slide) = (0.0, 0.0);
        for t in &self.touches {
            let here = displaced(&t.off, &middle.into()).dot(towards);
            let turned = displaced(&t.off, at).dot(towards) - here;
            angle += turned * turned;
            slide += here * here;
        }
        if angle > 0.0 { angle / (angle + slide) } else { 0.0 }
    }
}
