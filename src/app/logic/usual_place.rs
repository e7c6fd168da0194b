//! Where a step is usually taught: it saves bringing the torch there.

use super::palette::Piece;
use nudgeproof::cell::SeamLine;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::routine::{Instruction, Routine, Structure};

/// The torch backs off from a face that it felt, and rises, by so much, mm: clear of the part at every place
/// that a fixture lets it take.
const CLEAR: f64 = 60.0;
/// The torch comes to a seam, and leaves it, from here: above it, and so far to the side to which a torch
/// leans that leans by 45°, mm. Over a gap it comes straight down.
const OFF_PLATE: f64 = 30.0;
const ABOVE_SEAM: f64 = 45.0;

/// Where a step that is put into the routine at place `at`, from 0, is usually taught, work frame, mm.
/// `None` where it is for the learner to say: home, and each feel.
pub(crate) fn usual_place(
    piece: Piece,
    routine: &Routine,
    at: usize,
    seam: Option<&SeamLine>,
) -> Option<Point3<f64>> {
    let before = routine.steps.get(..at).unwrap_or_default();
    let last = before.iter().rev().map(|s| &s.instruction).find(|i| i.moves());
    let point = |i: &Instruction| Some(routine.point(i.point()?)?.at);
    let near_seam = |at: Point3<f64>| {
        Some(at - seam?.across * (OFF_PLATE * seam?.lean()) + Vector3::z() * ABOVE_SEAM)
    };
    match (piece, last) {
        (Piece::GoTo, Some(feel @ Instruction::Feel { direction, .. })) => {
            let back = Vector3::new(direction.x, direction.y, 0.0);
            Some(point(feel)? - back * CLEAR + Vector3::z() * CLEAR)
        }
        (Piece::GoTo, Some(end @ Instruction::WeldEnd { .. })) => near_seam(point(end)?),
        (Piece::GoTo, _) if follows(routine, at) => near_seam(seam?.from),
        (Piece::WeldFrom, _) => Some(seam?.from),
        (Piece::WeldTo, Some(Instruction::WeldStart { .. } | Instruction::WeldThrough { .. })) => {
            let starts = |i: &&Instruction| matches!(i, Instruction::WeldStart { .. });
            let start = before.iter().rev().map(|s| &s.instruction).find(starts)?;
            let (start, seam) = (point(start)?, seam?);
            let is_from = (start - seam.from).norm() <= (start - seam.to).norm();
            Some(if is_from { seam.to } else { seam.from })
        }
        _ => None,
    }
}

/// Whether a place is followed there.
fn follows(routine: &Routine, at: usize) -> bool {
    at.checked_sub(1).is_some_and(|i| Structure::of(routine).follow_at(i).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::seam_at::seam_at;
    use nudgeproof::session::Session;

    #[track_caller]
    fn check(piece: Piece, before: &str, expected: Option<[f64; 3]>) {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session of ours");
        let state = session.state();
        let routine = &state.routine;
        let goes = |i: &Instruction| i.point() == Some(before);
        let at = routine.steps.iter().position(|s| goes(&s.instruction)).expect("a step");
        let found = usual_place(piece, routine, at, seam_at(state, routine, at).as_ref());
        let near = match (found, expected.map(Point3::from)) {
            (Some(found), Some(expected)) => (found - expected).norm() < 1e-9,
            (found, expected) => found == expected,
        };
        assert!(near, "{piece:?} before {before}: {found:?}");
    }

    #[test]
    fn after_a_feel_the_torch_backs_off_and_rises() {
        check(Piece::GoTo, "clear-1", Some([50.0, -76.0, 65.0]));
        check(Piece::GoTo, "clear-2", Some([-76.0, 215.0, 65.0]));
        check(Piece::GoTo, "west-1", None);
    }

    #[test]
    fn a_weld_runs_from_end_to_end_and_is_entered_and_left_above_it() {
        check(Piece::GoTo, "approach", Some([80.0, 130.0, 57.0]));
        check(Piece::WeldFrom, "weld-start", Some([80.0, 160.0, 12.0]));
        check(Piece::WeldTo, "weld-end", Some([360.0, 160.0, 12.0]));
        check(Piece::GoTo, "retreat", Some([360.0, 130.0, 57.0]));
    }

    #[test]
    fn home_and_feels_are_for_the_learner_to_place() {
        check(Piece::Home, "home", None);
        check(Piece::Feel, "south-2", None);
        check(Piece::WeldTo, "weld-start", None);
    }
}
