use super::help::{add, and_more, move_before};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::{Instruction, PART_PLACE};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::TouchesNeverUsed,
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("touches_never_used.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits {
        // The find lacks touches only because it stands before them.
        silences: &[
            RuleName::TooFewTouches,
            RuleName::OneSidedTouches,
            RuleName::ShortBaseline,
            RuleName::ForecastOutsideTolerance,
            RuleName::FreedomsTooMany,
            RuleName::FollowBeforeFound,
        ],
        ..RuleTraits::USUAL
    },
};

fn check(f: &Facts) -> Vec<Finding> {
    let unused = &f.structure.unused_feels;
    let Some(&first) = unused.first() else { return Vec::new() };
    let says = match f.structure.finds.last() {
        Some(find) => say::touch_after_find(f.step(first), f.step(find.step)),
        None => say::touch_without_find(f.step(first)),
    };
    vec![RULE.says(say::then(says, and_more(unused.len()))).step(f.id(first))]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let unused = &f.structure.unused_feels;
    let (&first, &last) = (unused.first()?, unused.last()?);
    match f.structure.finds.last() {
        // A find that stands before its touches.
        Some(find) if find.feels.is_empty() || unused.len() > 1 => {
            Some(vec![move_before(f, find.step, after_sensing(f, last))])
        }
        // One feel that has slipped behind its find, or one that the find has already.
        Some(find) => {
            let same =
                |i: &usize| f.routine.steps[*i].instruction == f.routine.steps[first].instruction;
            Some(vec![if find.feels.iter().any(same) {
                Action::DeleteStep { id: f.id(first) }
            } else {
                bring_before(f, first, find.step)
            }])
        }
        None => {
            // Under the name that is followed.
            let place = f.structure.follows.first().map_or(PART_PLACE, |x| &x.place).into();
            let may = f.state.part.play.freedoms();
            Some(vec![add(after_sensing(f, last), Instruction::Find { place, may })])
        }
    }
}

/// The first place after the feel at `last` that is outside sensing, at the latest before the next
/// follow.
pub(super) fn after_sensing(f: &Facts, last: usize) -> usize {
    let off = f.structure.sensing_at(last).and_then(|s| s.end);
    let after = off
        .filter(|&off| f.routine.steps[off].instruction == Instruction::SensingOff)
        .map_or(last + 1, |off| off + 1);
    let follow = f.structure.follows.iter().map(|x| x.begin).find(|&begin| begin > last);
    after.min(follow.unwrap_or(after))
}

/// Moves a feel to behind the touches that the find at `find` uses: to the last place where the wire
/// carries voltage, so that the torch has moved clear before.
pub(super) fn bring_before(f: &Facts, feel: usize, find: usize) -> Action {
    let off = f.structure.sensing.iter().rfind(|s| s.begin < find).and_then(|s| s.end);
    move_before(f, feel, off.map_or(find, |off| off.min(find)))
}
