//! What the plan shows of a run beside the path of the torch.

use super::dimension::arrow_head;
use super::projection::PlanProjection;
use super::svg_path::{cross, polyline};
use kurbo::{BezPath, Line, Point, Rect, Triangle, Vec2};
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{FollowBlock, Routine, RunLog, Search, SearchOutcome, Structure};

/// What rides with a place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FollowedPath {
    /// Name of the place.
    pub(crate) place: String,
    /// The taught points of its moves, work frame, mm.
    pub(crate) points: Vec<Point3<f64>>,
}

/// The paths that ride with a place, in the order of the routine.
pub(crate) fn followed_paths(routine: &Routine) -> Vec<FollowedPath> {
    let structure = Structure::of(routine);
    let path = |follow: &FollowBlock| {
        let end = follow.end.unwrap_or(routine.steps.len());
        let steps = routine.steps.get(follow.begin..end).unwrap_or_default();
        let points = steps.iter().filter_map(|s| routine.point(s.instruction.point()?));
        FollowedPath { place: follow.place.clone(), points: points.map(|p| p.at).collect() }
    };
    structure.follows.iter().map(path).collect()
}

/// The end of a search: a bar across it where it touched, a cross where it found nothing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TouchMark {
    pub(crate) found: bool,
    pub(crate) at: Point,
    pub(crate) sign: BezPath,
    /// Where its number stands: behind it, seen along the search.
    pub(crate) number: Point,
}

impl TouchMark {
    pub(crate) fn new(log: &RunLog, search: &Search, plan: &PlanProjection) -> Self {
        let (at, found) = match &search.outcome {
            SearchOutcome::Touch { contact, .. } => (*contact, true),
            _ => (log.torch_at(search.time).unwrap_or(search.start), false),
        };
        let at = plan.point(&at);
        let along = plan.vector(&search.direction);
        // A search straight down has no direction on the plan: it is marked like one down the page.
        let along = if along.hypot() > 1e-6 { along.normalize() } else { Vec2::new(0.0, 1.0) };
        let beside = Vec2::new(along.y.abs(), along.x.abs()) * 9.0;
        let bar = along.turn_90() * 6.0;
        Self {
            found,
            at,
            sign: if found { polyline([at - bar, at + bar]) } else { cross(at, 5.0) },
            number: at - along * 13.0 - beside + Vec2::new(0.0, 4.0),
        }
    }
}

/// A home move that rode with the part: an arrow from home to where the torch ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CarriedHomeMark {
    pub(crate) line: Line,
    pub(crate) head: Triangle,
    /// Where the distance stands.
    pub(crate) label: Point,
}

impl CarriedHomeMark {
    pub(crate) fn new(home: &Point3<f64>, end: &Point3<f64>, plan: &PlanProjection) -> Self {
        let line = Line::new(plan.point(home), plan.point(end));
        let head = arrow_head(line.p0, line.p1, 7.0);
        Self { line, head, label: line.p1 + Vec2::new(16.0, -10.0) }
    }
}

/// Width of a letter of the text beside a crash, pixels.
const CRASH_LETTER: f64 = 7.0;

/// Where the text beside a crash stands, and its `text-anchor`: right of it, unless it would leave
/// the view there.
pub(crate) fn crash_label(at: Point, text: &str, view: &Rect) -> (Point, &'static str) {
    let width = text.chars().count() as f64 * CRASH_LETTER + 16.0;
    let (dx, anchor) = if at.x + width > view.x1 { (-14.0, "end") } else { (14.0, "start") };
    (at + Vec2::new(dx, -8.0), anchor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_text_beside_a_crash_stays_in_the_view() {
        let view = Rect::new(0.0, 0.0, 300.0, 200.0);
        let (at, anchor) = crash_label(Point::new(20.0, 50.0), "the wire met a clamp", &view);
        assert!(at.x > 20.0 && anchor == "start", "room on the right");
        let (at, anchor) = crash_label(Point::new(280.0, 50.0), "the wire met a clamp", &view);
        assert!(at.x < 280.0 && anchor == "end", "no room on the right");
    }
}
