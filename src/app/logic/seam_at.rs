use nudgeproof::cell::SeamLine;
use nudgeproof::routine::{Instruction, Routine, Step, Structure};
use nudgeproof::session::State;

/// The seam that a step at place `at` of the routine, from 0, is for, where the part lay when it was
/// taught: that of the place that is followed there, else the one whose turn it is.
pub(crate) fn seam_at(state: &State, routine: &Routine, at: usize) -> Option<SeamLine> {
    let seams = &state.part.seams;
    let before = routine.steps.get(..at).unwrap_or_default();
    let structure = Structure::of(routine);
    let place = at.checked_sub(1).and_then(|i| structure.follow_at(i)).map(|f| f.place.as_str());
    let of_place = || seams.iter().find(|seam| place.is_some() && seam.place.as_deref() == place);
    let starts = |s: &&Step| matches!(s.instruction, Instruction::WeldStart { .. });
    let begun = before.iter().filter(starts).count();
    let welding =
        before.iter().rfind(|s| s.instruction.moves()).is_some_and(|s| s.instruction.is_weld());
    let turn = begun.saturating_sub(usize::from(welding)).min(seams.len().saturating_sub(1));
    let seam = of_place().or_else(|| seams.get(turn))?;
    Some(seam.at(&state.reference_pose().unwrap_or_default()))
}
