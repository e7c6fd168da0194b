//! Which steps fit next in a routine.

use super::palette::Piece;
use nudgeproof::routine::{Instruction, Routine};

/// How a routine stands before a place in it.
#[derive(Debug, Clone, Copy, Default)]
#[allow(clippy::struct_excessive_bools, reason = "facts that hold each by itself")]
struct Standing {
    sensing: bool,
    follows: bool,
    /// A weld has begun and not ended.
    welds: bool,
    /// Feels that no find has used yet.
    felt: bool,
    found: bool,
    /// Something was welded.
    welded: bool,
    /// The torch has moved since the last weld ended, or since the follow began.
    moved: bool,
    trimmed: bool,
}

impl Standing {
    fn after(steps: &[Instruction]) -> Self {
        let mut now = Self::default();
        for step in steps {
            match step {
                Instruction::Move { .. } => now.moved = true,
                Instruction::SensingOn { .. } => now.sensing = true,
                Instruction::Feel { .. } => now.felt = true,
                Instruction::SensingOff => now.sensing = false,
                Instruction::Find { .. } => (now.found, now.felt) = (true, false),
                Instruction::Follow { .. } => (now.follows, now.moved) = (true, false),
                Instruction::StopFollowing => now.follows = false,
                Instruction::WeldStart { .. } => (now.welds, now.trimmed) = (true, false),
                Instruction::WeldThrough { .. } => {}
                Instruction::WeldEnd { .. } => {
                    (now.welds, now.welded, now.moved) = (false, true, false);
                }
                Instruction::TrimWire => now.trimmed = true,
            }
        }
        now
    }
}

/// At most three steps that fit at place `at` of a routine, from 0, the likeliest first; none where the routine
/// is whole.
pub(crate) fn next_steps(routine: &Routine, at: usize) -> Vec<Piece> {
    use Piece::{
        Feel, Find, Follow, GoTo, Home, SensingOff, SensingOn, StopFollowing, TrimWire, WeldFrom,
        WeldThrough, WeldTo,
    };
    let before: Vec<_> =
        routine.steps.iter().take(at).map(|step| step.instruction.clone()).collect();
    let now = Standing::after(&before);
    let home = matches!(before.last(), Some(last) if last.is_home());
    let fits: &[Piece] = match () {
        () if before.is_empty() => &[Home],
        () if now.welds => &[WeldTo, WeldThrough],
        () if now.sensing && now.felt => &[Feel, GoTo, SensingOff],
        () if now.sensing => &[Feel, GoTo],
        () if now.felt => &[Find, GoTo],
        () if now.follows && now.welded && now.moved => &[StopFollowing, WeldFrom, GoTo],
        () if now.follows && now.welded => &[GoTo, StopFollowing, WeldFrom],
        () if now.follows && now.moved => &[WeldFrom, GoTo],
        () if now.follows => &[GoTo, WeldFrom],
        () if now.welded && home => &[],
        () if now.welded && now.trimmed => &[Home, GoTo],
        () if now.welded => &[TrimWire, Home, GoTo],
        () if now.found => &[Follow, SensingOn],
        () => &[SensingOn, GoTo, WeldFrom],
    };
    fits.to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::Session;

    /// The piece that adds a step.
    fn piece(step: &Instruction) -> Piece {
        match step {
            step if step.is_home() => Piece::Home,
            Instruction::Move { .. } => Piece::GoTo,
            Instruction::SensingOn { .. } => Piece::SensingOn,
            Instruction::Feel { .. } => Piece::Feel,
            Instruction::SensingOff => Piece::SensingOff,
            Instruction::Find { .. } => Piece::Find,
            Instruction::Follow { .. } => Piece::Follow,
            Instruction::StopFollowing => Piece::StopFollowing,
            Instruction::WeldStart { .. } => Piece::WeldFrom,
            Instruction::WeldThrough { .. } => Piece::WeldThrough,
            Instruction::WeldEnd { .. } => Piece::WeldTo,
            Instruction::TrimWire => Piece::TrimWire,
        }
    }

    #[test]
    fn each_step_of_a_good_routine_is_offered_where_it_comes() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session of ours");
        let routine = &session.state().routine;
        for (at, step) in routine.steps.iter().enumerate() {
            let (fits, wanted) = (next_steps(routine, at), piece(&step.instruction));
            assert!(fits.contains(&wanted), "step {}: {wanted:?} is none of {fits:?}", at + 1);
        }
        let end = routine.steps.len();
        assert!(next_steps(routine, end).is_empty(), "nothing is missing at the end");
    }

    #[test]
    fn what_is_offered_fits_beside_the_list() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session of ours");
        let routine = &session.state().routine;
        for at in 0..=routine.steps.len() {
            let fits = next_steps(routine, at);
            assert!(fits.len() <= 3, "step {}: {fits:?}", at + 1);
        }
    }
}
