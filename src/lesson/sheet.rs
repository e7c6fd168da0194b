//! The routine that is on the sheet at the start of an attempt.

use super::file::{LessonFile, StartRoutine};
use crate::routine::{Instruction, Routine};

/// The routine that the start names: `model` is the whole one, `plain` the weld alone.
pub(super) fn named(file: &LessonFile, model: &Routine, plain: &Routine) -> Routine {
    match file.start.sheet {
        StartRoutine::Blank => file.routine.clone(),
        StartRoutine::Plain => plain.clone(),
        StartRoutine::Worked => model.clone(),
    }
}

/// The routine without what the start leaves out: touches beyond so many of a face, kinds of step.
pub(super) fn with_gaps(file: &LessonFile, mut routine: Routine) -> Routine {
    let whole = routine.clone();
    let face = |i: usize| match &whole.steps[i].instruction {
        Instruction::Feel { face, .. } => Some(face),
        _ => None,
    };
    let beyond = |i: usize| {
        let (Some(most), Some(this)) = (file.start.touches, face(i)) else { return false };
        (0..i).filter(|before| face(*before) == Some(this)).count() >= most
    };
    let gap = |i: usize| whole.kind(i).is_some_and(|k| file.start.gaps.contains(&k));
    let mut i = 0..whole.steps.len();
    routine.steps.retain(|_| i.next().is_some_and(|i| !gap(i) && !beyond(i)));
    routine
}
