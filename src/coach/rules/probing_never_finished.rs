use super::help::{add, move_before};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::Instruction;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "probing-never-finished",
    title: "The probing is not finished before it is used",
    asks: "Every begin probing has its finish probing, before follow.",
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("probing_never_finished.md"),
    hints: [
        "When does the offset come to be: at a touch, or at a step of its own?",
        "Follow the probing rail down: where does it end?",
        "Put finish probing right after the last probe step.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let mut found = never_finished(f);
    found.extend(f.structure.stray_finishes.iter().map(|&i| {
        let says =
            format!("{} finishes a probing that has not begun: the run stops there.", f.cap(i));
        Finding::says(says).step(f.id(i))
    }));
    found
}

fn never_finished(f: &Facts) -> Vec<Finding> {
    f.structure
        .blocks
        .iter()
        .filter_map(|b| {
            let follow = f.structure.follows.iter().find(|x| {
                x.begin > b.begin
                    && f.plan_of(b).is_none_or(|p| p.fills == x.offset)
                    && b.finish.is_none_or(|end| x.begin < end)
            });
            let says = match (b.finish, follow) {
                (None, _) => format!(
                    "{} has no finish probing: no offset comes of its touches.",
                    f.cap(b.begin)
                ),
                (Some(end), Some(x)) => {
                    // Touches after *follow*: *follow* is too early.
                    if b.probes.iter().any(|&p| p > x.begin) {
                        return None;
                    }
                    format!(
                        "{} comes after {}: the offset is used before it is worked out.",
                        f.cap(end),
                        f.name(x.begin)
                    )
                }
                (Some(_), None) => return None,
            };
            Some(Finding::says(says).step(f.id(b.finish.unwrap_or(b.begin))))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    if f.structure.stray_finishes.contains(&at) {
        return Some(vec![Action::DeleteStep { id: f.id(at) }]);
    }
    let block = f.structure.blocks.iter().find(|b| b.begin == at || b.finish == Some(at))?;
    let Some(&last) = block.probes.last() else {
        return Some(vec![Action::DeleteStep { id: f.id(block.begin) }]);
    };
    let last = if block.finish.is_some() {
        let follow = f.structure.follows.iter().find(|x| x.begin > block.begin)?.begin;
        block.probes.iter().copied().rfind(|&p| p < follow).unwrap_or(last)
    } else {
        last
    };
    Some(vec![match block.finish {
        Some(end) => move_before(f, end, last + 1),
        None => add(last + 1, Instruction::FinishProbing),
    }])
}
