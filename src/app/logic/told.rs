//! Whether the touches of a probe plan tell what it solves for.

use nudgeproof::geometry::Point3;
use nudgeproof::locate::{Freedoms, unseen};
use nudgeproof::routine::{Instruction, Routine};

/// The unknowns of a plan against its touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Told {
    /// Number of freedoms that the plan solves for.
    pub(crate) unknown: usize,
    /// Number of its touches.
    pub(crate) touches: usize,
    /// The freedoms that no touch tells. Each search counts as square to its face.
    pub(crate) unseen: Freedoms,
}

impl Told {
    pub(crate) fn of(routine: &Routine, plan: &str) -> Self {
        let freedoms = routine.plan(plan).map_or(Freedoms::empty(), |p| p.freedoms);
        let mut open = false;
        let mut touches = Vec::new();
        for step in &routine.steps {
            match &step.instruction {
                Instruction::BeginProbing { plan: begun } => open = begun == plan,
                Instruction::Probe { from, direction, .. } if open => {
                    let at = routine.point(from).map_or(Point3::origin(), |p| p.at);
                    touches.push((at, *direction));
                }
                _ => {}
            }
        }
        Self {
            unknown: freedoms.count(),
            touches: touches.len(),
            unseen: unseen(freedoms, &touches),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::Session;

    #[test]
    fn the_touches_of_a_routine_tell_what_its_plan_solves_for() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session of ours");
        let mut routine = Routine::clone(&session.state().routine);
        let told = Told::of(&routine, "A");
        assert_eq!(told, Told { unknown: 3, touches: 4, unseen: Freedoms::empty() });
        routine.plans[0].freedoms |= Freedoms::HEIGHT;
        assert_eq!(Told::of(&routine, "A").unseen, Freedoms::HEIGHT);
        assert_eq!(Told::of(&routine, "B").touches, 0);
    }
}
