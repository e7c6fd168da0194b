use crate::cell::Part;
use crate::routine::Routine;
use crate::session::{Action, Header, Session};

/// The routine after these edits, without those that fail and those that do not edit the routine.
pub(super) fn edited(routine: &Routine, edits: &[Action], part: &Part) -> Routine {
    let Ok(mut session) = Session::new(Header::new(part.clone(), 0)) else {
        return routine.clone();
    };
    if session.act(Action::LoadRoutine { routine: routine.clone() }).is_err() {
        return routine.clone();
    }
    for edit in edits {
        let of_routine = matches!(
            edit,
            Action::AddStep { .. }
                | Action::ChangeStep { .. }
                | Action::DeleteStep { .. }
                | Action::MoveStep { .. }
                | Action::Teach { .. }
        );
        if of_routine {
            let _ = session.act(edit.clone());
        }
    }
    (*session.state().routine).clone()
}
