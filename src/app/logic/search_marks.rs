//! Planned searches as the sheet shows them.

use super::dimension::arrow_head;
use super::projection::{ElevationProjection, PlanProjection};
use kurbo::{Line, Point, Triangle};
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Instruction, Routine, StepId, Structure};

/// A planned search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SearchMark {
    /// An arrow from its start to the end of its reach.
    Arrow { line: Line, head: Triangle, chosen: bool },
    /// Down into the sheet from here: a ring, as a drawing shows an arrow from behind.
    Down(Point),
}

/// Shorter arrows are not drawn, pixels.
const LEAST: f64 = 1.0;

/// The searches of a routine on the plan.
pub(crate) fn on_plan(
    routine: &Routine,
    cursor: Option<StepId>,
    plan: &PlanProjection,
) -> Vec<SearchMark> {
    let mark = |s: Planned| {
        if s.down {
            return Some(SearchMark::Down(plan.point(&s.from)));
        }
        arrow(plan.point(&s.from), plan.point(&s.to), 7.0, cursor == Some(s.step))
    };
    planned(routine).filter_map(mark).collect()
}

/// The searches of a routine in the elevation.
pub(crate) fn in_elevation(
    routine: &Routine,
    cursor: Option<StepId>,
    view: &ElevationProjection,
) -> Vec<SearchMark> {
    let mark =
        |s: Planned| arrow(view.point(&s.from), view.point(&s.to), 6.0, cursor == Some(s.step));
    planned(routine).filter_map(mark).collect()
}

/// A search from its start to the end of its reach, work frame, mm.
struct Planned {
    step: StepId,
    from: Point3<f64>,
    to: Point3<f64>,
    /// It goes down rather than across.
    down: bool,
}

fn planned(routine: &Routine) -> impl Iterator<Item = Planned> {
    let structure = Structure::of(routine);
    routine.steps.iter().enumerate().filter_map(move |(i, step)| match &step.instruction {
        Instruction::Feel { from, direction, .. } => {
            let (_, reach) = structure.search_of(i);
            let from = routine.point(from)?.at;
            let to = from + direction * reach;
            Some(Planned { step: step.id, from, to, down: direction.z < -0.5 })
        }
        _ => None,
    })
}

fn arrow(from: Point, to: Point, head: f64, chosen: bool) -> Option<SearchMark> {
    let head = arrow_head(from, to, head);
    let line = Line::new(from, to);
    (line.length() > LEAST).then_some(SearchMark::Arrow { line, head, chosen })
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::{Point2, Vector3};
    use nudgeproof::routine::{PathKind, Step, TaughtPoint};

    #[test]
    fn a_search_across_is_an_arrow_and_one_down_a_ring() {
        let step = |id, instruction| Step { id: StepId(id), instruction };
        let feel = |id, direction| {
            let (from, face, way) = ("p".into(), "face".into(), PathKind::Joint);
            step(id, Instruction::Feel { from, way, direction, face })
        };
        let on = Instruction::SensingOn { speed_mm_s: 20.0, reach_mm: 25.0 };
        let routine = Routine {
            points: vec![TaughtPoint { name: "p".into(), at: Point3::new(10.0, 20.0, 5.0) }],
            steps: vec![step(3, on), feel(1, Vector3::y()), feel(2, -Vector3::z())],
        };
        let plan = PlanProjection::new(2.0, Point2::origin(), Point::ORIGIN);
        let marks = on_plan(&routine, Some(StepId(1)), &plan);
        let [SearchMark::Arrow { line, chosen, .. }, SearchMark::Down(at)] = marks[..] else {
            panic!("an arrow and a ring, found {marks:?}");
        };
        assert_eq!(line.p0, Point::new(20.0, -40.0), "from the point");
        assert_eq!(line.length(), 50.0, "as far as it reaches");
        assert!(chosen, "its step is selected");
        assert_eq!(at, line.p0, "the ring stands at the point");
    }
}
