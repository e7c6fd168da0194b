//! Whether the touches of a find tell what it solves for.

use nudgeproof::geometry::Point3;
use nudgeproof::locate::{Freedoms, unseen};
use nudgeproof::routine::{Instruction, Routine, Structure};

/// The unknowns of a find against its touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Told {
    /// Number of freedoms that the find solves for.
    pub(crate) unknown: usize,
    /// Number of its touches.
    pub(crate) touches: usize,
    /// The freedoms that no touch tells. Each search counts as square to its face.
    pub(crate) unseen: Freedoms,
}

impl Told {
    /// Of the find at place `index` of a routine, from 0; `None` if there is none.
    pub(crate) fn of(routine: &Routine, index: usize) -> Option<Self> {
        let structure = Structure::of(routine);
        let find = structure.finds.iter().find(|find| find.step == index)?;
        let touch = |i: &usize| match &routine.steps[*i].instruction {
            Instruction::Feel { from, direction, .. } => {
                let at = routine.point(from).map_or(Point3::origin(), |p| p.at);
                Some((at, *direction))
            }
            _ => None,
        };
        let touches: Vec<_> = find.feels.iter().filter_map(touch).collect();
        Some(Self {
            unknown: find.may.count(),
            touches: touches.len(),
            unseen: unseen(find.may, &touches),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::Session;

    #[test]
    fn the_touches_of_a_find_tell_what_it_solves_for() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session of ours");
        let mut routine = Routine::clone(&session.state().routine);
        let find = routine.steps.iter().position(|s| s.instruction.place().is_some());
        let find = find.expect("a find");
        let told = Told::of(&routine, find);
        assert_eq!(told, Some(Told { unknown: 3, touches: 4, unseen: Freedoms::empty() }));
        let Instruction::Find { may, .. } = &mut routine.steps[find].instruction else {
            panic!("a find comes before its follow")
        };
        *may |= Freedoms::HEIGHT;
        assert_eq!(Told::of(&routine, find).map(|t| t.unseen), Some(Freedoms::HEIGHT));
        assert_eq!(Told::of(&routine, 0), None, "home is no find");
    }
}
