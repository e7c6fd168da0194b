//! Helpers for the mends of several rules.

use crate::coach::facts::{Facts, still};
use crate::geometry::{Point3, Vector3};
use crate::routine::{HOME, Instruction, PathKind, Step, Stop};
use crate::session::Action;
use crate::text::{Sentence, say};

/// Clearance of the coach's points from the part, upwards and sideways, mm (common practice, no
/// source).
pub(super) const CLEAR_MM: f64 = 60.0;
/// Height of the coach's approach or retreat above the weld, mm (common practice, no source).
pub(super) const ABOVE_WELD_MM: f64 = 40.0;

pub(super) fn add(at: usize, step: Instruction) -> Action {
    Action::AddStep { at: Some(at), step }
}

pub(super) fn go(to: &str, way: PathKind) -> Instruction {
    Instruction::Move { to: to.into(), way, stop: Stop::Full }
}

pub(super) fn change(f: &Facts, i: usize, step: Instruction) -> Action {
    Action::ChangeStep { id: f.id(i), step }
}

/// Moves the step at index `from` to just before the one that is now at index `before`.
pub(super) fn move_before(f: &Facts, from: usize, before: usize) -> Action {
    let to = if from < before { before - 1 } else { before };
    Action::MoveStep { id: f.id(from), to }
}

pub(super) fn teach(name: &str, at: Point3<f64>) -> Action {
    Action::Teach { point: name.into(), at }
}

/// Puts the part back to where the weld points were taught, if it lies elsewhere.
pub(super) fn part_back(f: &Facts) -> Vec<Action> {
    let moved = !still(&f.taught, &f.state.work_from_part);
    if moved { f.state.by_hand([Action::place_part(f.taught)]) } else { Vec::new() }
}

/// A joint move home at this index, or at the end; teaches home if it is not taught.
pub(super) fn go_home(f: &Facts, at: Option<usize>) -> Vec<Action> {
    let rest = f.routine.point(HOME).is_none().then(|| teach(HOME, f.state.part.rest));
    let step = go(HOME, PathKind::Joint);
    rest.into_iter().chain([Action::AddStep { at, step }]).collect()
}

/// The first and the last step that goes to a point: before and after them the wire may still be trimmed.
pub(super) fn first_and_last(f: &Facts) -> Option<[usize; 2]> {
    let goes = |s: &Step| s.instruction.point().is_some();
    let steps = &f.routine.steps;
    Some([steps.iter().position(goes)?, steps.iter().rposition(goes)?])
}

/// Greatest distance of two points that count as one, mm.
const SAME_PLACE_MM: f64 = 1.0;

/// Whether step `i`, the first or the last, goes home: to the point of that name, or to the place where
/// the `other` of the two goes.
pub(super) fn waits_at(f: &Facts, i: usize, other: usize) -> bool {
    let moves = |i: usize| matches!(f.routine.steps[i].instruction, Instruction::Move { .. });
    let same = || {
        let places = f.at(i).zip(f.at(other));
        places.is_some_and(|(a, b)| (a - b).norm() <= SAME_PLACE_MM)
    };
    f.routine.steps[i].instruction.is_home() || (i != other && moves(i) && moves(other) && same())
}

/// What follows a message about the first of `count` steps that share a mistake.
pub(super) fn and_more(count: usize) -> Option<Sentence> {
    match count {
        0 | 1 => None,
        2 => Some(say::same_goes_for_one()),
        n => Some(say::same_goes_for(n - 1)),
    }
}

/// An unused point name.
pub(super) fn new_name(f: &Facts, base: &str) -> String {
    let taken = |name: &str| f.routine.point(name).is_some();
    if !taken(base) {
        return base.into();
    }
    // One of these is unused: there is one name more than there are points.
    let tried = 2..=f.routine.points.len() + 2;
    tried.map(|n| format!("{base}-{n}")).find(|name| !taken(name)).unwrap_or_default()
}

/// Offset sideways and upwards from a start point of the coach's path over the part, mm (common
/// practice, no source).
const ASIDE_MM: f64 = 30.0;
const ABOVE_MM: f64 = 90.0;

/// A point high above the start of a search, so that the path there leads over the part.
pub(super) fn above_of(start: &Point3<f64>, direction: &Vector3<f64>) -> Point3<f64> {
    start - direction * ASIDE_MM + Vector3::z() * ABOVE_MM
}

/// A point clear of the part for a torch that touches a face: back from it, and up.
pub(super) fn clear_of(start: &Point3<f64>, direction: &Vector3<f64>) -> Point3<f64> {
    let back = direction.try_normalize(1e-9).unwrap_or_else(Vector3::zeros);
    Point3::new(start.x - back.x * CLEAR_MM, start.y - back.y * CLEAR_MM, start.z + CLEAR_MM)
}
