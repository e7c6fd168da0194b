use nudgeproof::routine::{Instruction, Routine, StepId};
use nudgeproof::session::Action;

/// The edits that give the place of the find `id` another name. The steps that follow it go along,
/// unless another find still works out a place of the old name.
pub(crate) fn rename_place(routine: &Routine, id: StepId, new: &str) -> Vec<Action> {
    let find = routine.steps.iter().find(|s| s.id == id);
    let Some(Instruction::Find { place: old, .. }) = find.map(|s| &s.instruction) else {
        return Vec::new();
    };
    let is_old = |place: &str| place == old;
    let shared = routine.steps.iter().any(|s| {
        matches!(&s.instruction, Instruction::Find { place, .. } if s.id != id && is_old(place))
    });
    let renamed = |instruction: &Instruction| match instruction {
        Instruction::Follow { place } if is_old(place) && !shared => {
            Some(Instruction::Follow { place: new.into() })
        }
        _ => None,
    };
    let edits = routine.steps.iter().filter_map(|s| {
        let step = match &s.instruction {
            Instruction::Find { may, .. } if s.id == id => {
                Instruction::Find { place: new.into(), may: *may }
            }
            other => renamed(other)?,
        };
        Some(Action::ChangeStep { id: s.id, step })
    });
    edits.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::locate::Freedoms;
    use nudgeproof::routine::Step;

    fn routine(steps: &[Instruction]) -> Routine {
        let numbered = (1..).map(StepId).zip(steps.iter().cloned());
        let steps = numbered.map(|(id, instruction)| Step { id, instruction }).collect();
        Routine { steps, ..Routine::default() }
    }

    fn find(place: &str) -> Instruction {
        Instruction::Find { place: place.into(), may: Freedoms::PLAN }
    }

    fn follow(place: &str) -> Instruction {
        Instruction::Follow { place: place.into() }
    }

    fn change(id: u32, step: Instruction) -> Action {
        Action::ChangeStep { id: StepId(id), step }
    }

    #[test]
    fn what_follows_a_place_goes_by_its_new_name() {
        let routine = routine(&[find("part"), follow("part"), follow("end"), follow("part")]);
        assert_eq!(
            rename_place(&routine, StepId(1), "rail"),
            [change(1, find("rail")), change(2, follow("rail")), change(4, follow("rail"))]
        );
    }

    #[test]
    fn a_place_that_another_find_works_out_is_still_followed() {
        let routine = routine(&[find("part"), follow("part"), find("part")]);
        assert_eq!(rename_place(&routine, StepId(3), "end"), [change(3, find("end"))]);
    }
}
