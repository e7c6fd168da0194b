use crate::cell::{OwnMotions, Part};
use crate::geometry::{Point3, Pose};
use crate::routine::Routine;
use rpds::{ListSync, RedBlackTreeMapSync};
use std::sync::Arc;

/// Shifts below this count as "not moved", mm: half the default repeatability of a touch.
const STILL_MM: f64 = 0.05;
/// Turns below this count as "not moved", radians: 0.01°, which is 0.05 mm at 300 mm.
const STILL_RAD: f64 = 1.7e-4;

/// Whether the part lies in the same place, as far as any touch could tell.
pub(crate) fn still(a: &Pose, b: &Pose) -> bool {
    let d = a.inverse() * *b;
    d.translation().norm() < STILL_MM && d.angle() < STILL_RAD
}

/// Where the part truly lay whenever a point was taught. Only the coach may look at this.
#[derive(Debug, Clone, Default)]
pub(crate) struct TaughtPlaces {
    /// Where the points of a routine that was loaded as a whole were taught, `work_from_part`.
    loaded: Pose,
    /// By point, since the last load: `work_from_part` when it was first and when it was last taught.
    places: RedBlackTreeMapSync<String, [Pose; 2]>,
    /// How each point was last taught in the whole session.
    last: RedBlackTreeMapSync<String, Taught>,
    /// For what the points of a routine that was loaded as a whole are stored.
    loaded_for: Lying,
    /// For what each point is stored, since the last load.
    stored_for: RedBlackTreeMapSync<String, Lying>,
    /// What a point was each time before it was taught anew, the latest first; [`REMEMBERED`] at most.
    before: RedBlackTreeMapSync<String, ListSync<Was>>,
}

/// How many earlier places of a point are remembered: a person goes back a few at most, and each time
/// a point is taught they are looked through.
const REMEMBERED: usize = 8;

/// A point before it was taught anew.
#[derive(Debug, Clone)]
struct Was {
    /// As stored, mm.
    at: Point3<f64>,
    places: Option<[Pose; 2]>,
    last: Option<Taught>,
    stored_for: Option<Lying>,
}

/// How a part truly lies, and its bodies on it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Lying {
    /// `work_from_part`.
    pub(crate) part: Pose,
    /// Where bodies that move by themselves lie on it.
    pub(crate) bodies: Arc<OwnMotions>,
}

/// How a point was last taught.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Taught {
    /// Place of the action among the session's actions, from 0.
    pub(crate) action: usize,
    /// Where the point was before, as stored, mm; `None` if it is new.
    pub(crate) before: Option<Point3<f64>>,
    /// Where the part truly lay, `work_from_part`.
    pub(crate) part: Pose,
    /// Where bodies that move by themselves truly lay on it.
    pub(crate) bodies: Arc<OwnMotions>,
    /// Where it lay when the reference was taken; `None` without one.
    pub(crate) reference_part: Option<Pose>,
    /// Whether a paused run carried the point by an offset.
    pub(crate) carried: bool,
}

impl TaughtPlaces {
    /// A routine that was taught as a whole with the part there, `work_from_part`.
    pub(crate) fn all_at(loaded: Pose) -> Self {
        Self { loaded, ..Self::default() }
    }

    /// A whole routine was loaded with the part at `work_from_part`.
    pub(super) fn loaded(&mut self, part: &Part, lying: Lying, routine: &Routine) {
        self.loaded = place_of_loaded(part, lying.part, routine);
        self.places = RedBlackTreeMapSync::new_sync();
        let here = self.loaded == lying.part;
        self.loaded_for = if here { lying } else { Lying::default() };
        self.stored_for = RedBlackTreeMapSync::new_sync();
        self.before = RedBlackTreeMapSync::new_sync();
    }

    /// The point was taught, and is stored there, mm. While a paused run follows, it is stored for the
    /// reference part, wherever the part lies: then its place stays what it was. A point that is put back
    /// where it was is what it was.
    pub(super) fn taught(&mut self, point: &str, stored: &Point3<f64>, how: Taught) {
        if let Some(at) = how.before {
            let before = self.before.get(point).cloned().unwrap_or_default();
            let same = before.iter().find(|was| (was.at - stored).norm() < STILL_MM).cloned();
            let now = Was {
                at,
                places: self.places.get(point).copied(),
                last: self.last.get(point).cloned(),
                stored_for: self.stored_for.get(point).cloned(),
            };
            self.before.insert_mut(point.into(), remembered(now, &before));
            if let Some(was) = same {
                put(&mut self.places, point, was.places);
                put(&mut self.last, point, was.last);
                put(&mut self.stored_for, point, was.stored_for);
                return;
            }
        }
        if !how.carried {
            let first = if how.before.is_some() { self.loaded } else { how.part };
            let first = self.places.get(point).map_or(first, |[first, _]| *first);
            self.places.insert_mut(point.into(), [first, how.part]);
        }
        // Carried by an offset, it is stored for the part as it lay in the reference run.
        if !how.carried {
            let (part, bodies) = (how.part, how.bodies.clone());
            self.stored_for.insert_mut(point.into(), Lying { part, bodies });
        } else if let (None, Some(part)) = (how.before, how.reference_part) {
            self.stored_for.insert_mut(point.into(), Lying { part, ..Lying::default() });
        }
        self.last.insert_mut(point.into(), how);
    }

    pub(super) fn renamed(&mut self, from: &str, to: &str) {
        rename(&mut self.places, from, to);
        rename(&mut self.last, from, to);
        rename(&mut self.stored_for, from, to);
        rename(&mut self.before, from, to);
    }

    /// For what a point is stored: how part and bodies lay when it was taught.
    pub(crate) fn stored_for(&self, point: &str) -> &Lying {
        self.stored_for.get(point).unwrap_or(&self.loaded_for)
    }

    /// How each point was last taught.
    pub(crate) fn last(&self) -> impl Iterator<Item = (&str, &Taught)> {
        self.last.iter().map(|(point, how)| (point.as_str(), how))
    }

    /// Where the part lay when the weld points of the routine were taught, `work_from_part`. The
    /// drawn place, where nothing says otherwise; if the points disagree, the place of the one that
    /// was taught first.
    pub(crate) fn of_welds(&self, routine: &Routine) -> Pose {
        let of = |name: &str| self.places.get(name).copied().unwrap_or([self.loaded; 2]);
        let weld_points = routine.weld_points();
        let points = routine.points.iter().filter(|p| weld_points.contains(p.name.as_str()));
        let all: Vec<[Pose; 2]> = points.map(|p| of(&p.name)).collect();
        match all.first() {
            Some([_, last]) if all.iter().all(|[_, other]| still(other, last)) => *last,
            Some([first, _]) => *first,
            None => self.loaded,
        }
    }
}

/// What was remembered of a point, and what it is now, the latest first.
fn remembered(now: Was, before: &ListSync<Was>) -> ListSync<Was> {
    let kept: Vec<Was> = before.iter().take(REMEMBERED - 1).cloned().collect();
    std::iter::once(now).chain(kept).collect()
}

/// Sets the entry of a point, or removes it.
fn put<T>(of: &mut RedBlackTreeMapSync<String, T>, point: &str, value: Option<T>) {
    match value {
        Some(value) => of.insert_mut(point.into(), value),
        None => drop(of.remove_mut(point)),
    }
}

/// Moves the entry of a point to its new name.
fn rename<T: Clone>(of: &mut RedBlackTreeMapSync<String, T>, from: &str, to: &str) {
    let value = of.get(from).cloned();
    of.remove_mut(from);
    put(of, to, value);
}

/// A routine that was loaded belongs to the place that its weld points fit best: the drawn place, or
/// where the part lay just then.
fn place_of_loaded(part: &Part, work_from_part: Pose, routine: &Routine) -> Pose {
    let weld_points = routine.weld_points();
    let off = |pose: &Pose| -> f64 {
        let ends: Vec<_> =
            part.seams.iter().flat_map(|s| [s.from, s.to]).map(|p| pose.point(&p)).collect();
        routine
            .points
            .iter()
            .filter(|p| weld_points.contains(p.name.as_str()))
            .map(|p| ends.iter().map(|e| (e - p.at).norm()).fold(f64::INFINITY, f64::min))
            .filter(|d| d.is_finite())
            .sum()
    };
    let drawn = Pose::identity();
    if off(&work_from_part) < off(&drawn) { work_from_part } else { drawn }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taught(action: usize, before: Option<f64>) -> Taught {
        Taught {
            action,
            before: before.map(|x| Point3::new(x, 0.0, 0.0)),
            part: Pose::identity(),
            bodies: Arc::default(),
            reference_part: None,
            carried: false,
        }
    }

    /// Taught at 0, 1, 2 … mm; how often each time it stood elsewhere is remembered.
    #[test]
    fn a_point_taught_again_and_again_remembers_a_few_places() {
        let mut places = TaughtPlaces::default();
        for n in 0..100_usize {
            let before = n.checked_sub(1).map(|n| n as f64);
            places.taught("p", &Point3::new(n as f64, 0.0, 0.0), taught(n, before));
        }
        let was = places.before.get("p").expect("taught anew");
        assert_eq!(was.len(), REMEMBERED);
        // Put back where it was three times ago, it is what it was then.
        places.taught("p", &Point3::new(96.0, 0.0, 0.0), taught(100, Some(99.0)));
        assert_eq!(places.last.get("p").map(|how| how.action), Some(96));
    }
}
