use super::planned::PlannedFind;
use crate::geometry::{Point3, Vector3};
use crate::locate::{LocateError, SmallMotion, TouchEffect, displaced};
use crate::text::Sentence;

/// How far the found place of a part is off, touch by touch: the touches scatter independently, so their
/// squares add up (JCGM 100:2008, 5.1.2).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlaceSpread {
    sources: Vec<Source>,
}

/// What one standard deviation of one touch does to a found place.
#[derive(Debug, Clone, PartialEq)]
struct Source {
    /// Index of the step that feels.
    step: usize,
    off: SmallMotion,
    /// Where it touches, mm.
    contact: Point3<f64>,
}

/// Why a find gives no spread.
pub(super) struct Refused {
    pub(super) why: Sentence,
    pub(super) error: LocateError,
}

impl PlaceSpread {
    /// The spread of the place that a find finds. Its touches ride with the place that is followed while
    /// they are made, so they see how far that one is off, and mend of it what they can tell: the rest,
    /// `ε − Σ gᵢ sᵢ·ε`, stays.
    pub(super) fn of(finds: &[PlannedFind], n: usize) -> Result<Self, Refused> {
        let find = &finds[n];
        let (forecast, faces) = find.forecast();
        let effects = match forecast {
            Ok(forecast) => forecast.effects,
            Err(error) => return Err(Refused { why: error.said(&faces), error }),
        };
        let mut sources = match find.after {
            Some(coarse) => Self::of(finds, coarse)?.seen_by(&effects),
            None => Vec::new(),
        };
        sources.extend(find.touches.iter().zip(&effects).map(|(t, effect)| Source {
            step: t.step,
            off: effect.gain * t.sigma_mm,
            contact: t.contact.unwrap_or(t.from),
        }));
        Ok(Self { sources })
    }

    fn seen_by(self, effects: &[TouchEffect]) -> Vec<Source> {
        let left = |off: SmallMotion| {
            let mended: SmallMotion = effects.iter().map(|e| e.gain * e.slope.dot(&off)).sum();
            off - mended
        };
        self.sources.into_iter().map(|s| Source { off: left(s.off), ..s }).collect()
    }

    /// What each touch adds to the spread of a point in a direction of unit length, with the index of its
    /// step: one standard deviation, mm, with its sign.
    pub(super) fn shares(
        &self,
        at: &Point3<f64>,
        towards: &Vector3<f64>,
    ) -> impl Iterator<Item = (usize, f64)> {
        self.sources.iter().map(|s| (s.step, displaced(&s.off, at).dot(towards)))
    }

    /// The part of the spread of a point in a direction that comes from a wrong angle, seen from the middle
    /// of the touches: from 0 to 1, of the variance.
    pub(super) fn angle_share(&self, at: &Point3<f64>, towards: &Vector3<f64>) -> f64 {
        let count = self.sources.len().max(1) as f64;
        let middle = self.sources.iter().map(|s| s.contact.coords).sum::<Vector3<f64>>() / count;
        let (mut angle, mut slide) = (0.0, 0.0);
        for s in &self.sources {
            let here = displaced(&s.off, &middle.into()).dot(towards);
            let turned = displaced(&s.off, at).dot(towards) - here;
            angle += turned * turned;
            slide += here * here;
        }
        if angle > 0.0 { angle / (angle + slide) } else { 0.0 }
    }

    /// Covariance of a point on the plan, mm²: xx, xy, yy.
    pub(super) fn on_plan(&self, at: &Point3<f64>) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for s in &self.sources {
            let by = displaced(&s.off, at);
            sum[0] += by.x * by.x;
            sum[1] += by.x * by.y;
            sum[2] += by.y * by.y;
        }
        sum
    }
}
