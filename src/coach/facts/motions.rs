use crate::routine::Routine;

/// The last step before `i` that moves the torch.
pub(in crate::coach) fn motion_before(routine: &Routine, i: usize) -> Option<usize> {
    (0..i).rev().find(|&k| routine.steps[k].instruction.moves())
}

/// The first step after `i` that moves the torch.
pub(in crate::coach) fn motion_after(routine: &Routine, i: usize) -> Option<usize> {
    (i + 1..routine.steps.len()).find(|&k| routine.steps[k].instruction.moves())
}
