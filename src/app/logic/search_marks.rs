//! Planned searches as the elevation shows them.

use super::dimension::arrow_head;
use super::projection::ElevationProjection;
use kurbo::{Line, Point, Triangle};
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Instruction, Routine, StepId, Structure};

/// A planned search: an arrow from its start to the end of its reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SearchMark {
    pub(crate) line: Line,
    pub(crate) head: Triangle,
    pub(crate) chosen: bool,
}

/// Shorter arrows are not drawn, pixels.
const LEAST: f64 = 1.0;
/// Length of an arrow head, pixels.
const HEAD: f64 = 6.0;

/// The searches of a routine in the elevation.
pub(crate) fn in_elevation(
    routine: &Routine,
    cursor: Option<StepId>,
    view: &ElevationProjection,
) -> Vec<SearchMark> {
    let mark = |s: Planned| arrow(view.point(&s.from), view.point(&s.to), cursor == Some(s.step));
    planned(routine).filter_map(mark).collect()
}

/// A search from its start to the end of its reach, work frame, mm.
struct Planned {
    step: StepId,
    from: Point3<f64>,
    to: Point3<f64>,
}

fn planned(routine: &Routine) -> impl Iterator<Item = Planned> {
    let structure = Structure::of(routine);
    routine.steps.iter().enumerate().filter_map(move |(i, step)| match &step.instruction {
        Instruction::Feel { from, direction, .. } => {
            let (_, reach) = structure.search_of(i);
            let from = routine.point(from)?.at;
            let to = from + direction * reach;
            Some(Planned { step: step.id, from, to })
        }
        _ => None,
    })
}

fn arrow(from: Point, to: Point, chosen: bool) -> Option<SearchMark> {
    let (line, head) = (Line::new(from, to), arrow_head(from, to, HEAD));
    (line.length() > LEAST).then_some(SearchMark { line, head, chosen })
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::Vector3;
    use nudgeproof::routine::{PathKind, Step, TaughtPoint};

    #[test]
    fn searches_are_arrows_as_long_as_their_reach() {
        let step = |id, instruction| Step { id: StepId(id), instruction };
        let feel = |id, direction| {
            let (from, face, way) = ("p".into(), "face".into(), PathKind::Joint);
            step(id, Instruction::Feel { from, way, direction, face })
        };
        let on = Instruction::SensingOn { speed_mm_s: 20.0, reach_mm: 25.0 };
        let routine = Routine {
            points: vec![TaughtPoint { name: "p".into(), at: Point3::new(10.0, 20.0, 45.0) }],
            steps: vec![
                step(3, on),
                feel(1, Vector3::x()),
                feel(2, -Vector3::z()),
                feel(4, Vector3::y()),
            ],
        };
        let view = ElevationProjection {
            scale: 2.0,
            x_zero: 0.0,
            table: 100.0,
            low_scale: 2.0,
            high_scale: 1.0,
            break_height: 50.0,
        };
        let marks = in_elevation(&routine, Some(StepId(1)), &view);
        let [across, down] = marks[..] else {
            panic!("one across, one down, and none towards the page: {marks:?}");
        };
        assert_eq!(across.line, Line::new((20.0, 10.0), (70.0, 10.0)), "as far as it reaches");
        assert!(across.chosen && !down.chosen, "its step is selected");
        assert_eq!(down.line, Line::new((20.0, 10.0), (20.0, 60.0)), "straight down");
    }
}
