//! Groups of steps that a run is through with: each folds to one line while the run goes on.

use super::rails::{Margin, Rail, margins};
use nudgeproof::routine::{Routine, StepId};
use std::collections::HashMap;

/// How a row stands in a group that is folded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fold {
    /// It stands for its group: so many more steps are behind it.
    Head(usize),
    Behind,
}

/// Groups of fewer steps stay as they are.
const LEAST: usize = 3;

/// The rows of groups that end before the step that runs. A group is what one rail runs along.
pub(crate) fn folds(routine: &Routine, running: Option<StepId>) -> HashMap<StepId, Fold> {
    let until = running.and_then(|id| routine.index_of(id)).unwrap_or(0);
    let mut folds = HashMap::new();
    let margins = margins(routine);
    let rails: [fn(&Margin) -> Rail; 2] = [|m| m.sensing, |m| m.follow];
    for rail in rails {
        let mut begin = None;
        for (i, margin) in margins.iter().enumerate().take(until) {
            match rail(margin) {
                Rail::Opens => begin = Some(i),
                Rail::Closes => {
                    if let Some(begin) = begin.take().filter(|begin| i + 1 - begin >= LEAST) {
                        let ids = routine.steps[begin..=i].iter().map(|step| step.id);
                        for (n, id) in ids.enumerate() {
                            let fold = if n == 0 { Fold::Head(i - begin) } else { Fold::Behind };
                            folds.entry(id).or_insert(fold);
                        }
                    }
                }
                Rail::None | Rail::Inside => {}
            }
        }
    }
    folds
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::Session;

    #[test]
    fn a_group_folds_once_the_run_is_past_it() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session of ours");
        let routine = &session.state().routine;
        let at = |step: usize| folds(routine, Some(routine.steps[step].id));
        assert!(at(8).is_empty(), "sensing off runs");
        // Sensing on, four feels, two moves, sensing off: steps 2 to 9.
        let find = at(9);
        assert_eq!(find.get(&routine.steps[1].id), Some(&Fold::Head(7)), "the find runs");
        assert_eq!(find.values().filter(|fold| **fold == Fold::Behind).count(), 7);
        assert!(!find.contains_key(&routine.steps[0].id), "home is in no group");
        let trim = at(16);
        assert_eq!(trim.get(&routine.steps[10].id), Some(&Fold::Head(5)), "the follow too");
        assert!(folds(routine, None).is_empty(), "nothing runs");
    }
}
