use super::help::move_before;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::{FindBlock, FollowBlock};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FollowBeforeFound,
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("follow_before_found.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// The find of the place, if it comes only after *follow*.
fn too_late<'f>(f: &'f Facts, follow: &FollowBlock) -> Option<&'f FindBlock> {
    let of_place = |find: &&FindBlock| find.place == follow.place;
    let mut finds = f.structure.finds.iter().filter(of_place);
    if f.structure.finds.iter().filter(of_place).any(|find| find.step < follow.begin) {
        return None;
    }
    finds.next()
}

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .follows
        .iter()
        .filter_map(|follow| {
            let find = too_late(f, follow)?;
            let says = say::follow_before_found(f.step(follow.begin), f.step(find.step));
            Some(RULE.says(says).step(f.id(follow.begin)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let follow = f.structure.follows.iter().find(|x| x.begin == at)?;
    let find = too_late(f, follow)?;
    // The find where its touches are complete, if that is before *follow*; else *follow* after it.
    Some(vec![match find.feels.last() {
        Some(&last) if last < at => move_before(f, find.step, after_sensing(f, last, at)),
        _ => move_before(f, at, find.step + 1),
    }])
}

/// The first place after the feel `last` that is outside sensing, at the latest `until`.
fn after_sensing(f: &Facts, last: usize, until: usize) -> usize {
    let end = f.structure.sensing_at(last).and_then(|s| s.end);
    end.map_or(last + 1, |off| off + 1).min(until)
}
