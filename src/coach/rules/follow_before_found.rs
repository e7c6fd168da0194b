use super::help::move_before;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "follow-before-found",
    title: "Follow comes before the probing",
    asks: "Follow comes after the probing that fills its offset.",
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("follow_before_found.md"),
    hints: [
        "What does the controller know of this part at the moment it begins to follow?",
        "Compare the place of follow with the place of finish probing.",
        "Move follow to just after finish probing.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

/// The probing block that fills the offset, if it finishes only after *follow*.
fn too_late<'f>(
    f: &'f Facts,
    x: &crate::coach::facts::FollowBlock,
) -> Option<&'f crate::coach::facts::ProbingBlock> {
    let fills = |b: &&crate::coach::facts::ProbingBlock| {
        b.finish.is_some() && f.plan_of(b).is_some_and(|p| p.fills == x.offset)
    };
    let found_before = f.structure.blocks.iter().filter(fills).any(|b| b.finish < Some(x.begin));
    if found_before {
        return None;
    }
    f.structure.blocks.iter().find(fills)
}

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .follows
        .iter()
        .filter_map(|x| {
            let block = too_late(f, x)?;
            // All touches come before *follow*: *finish probing* is misplaced.
            if block.begin < x.begin && block.probes.iter().all(|&p| p < x.begin) {
                return None;
            }
            let says = format!(
                "{} comes before {}: it follows what an earlier run found, not this part.",
                f.cap(x.begin),
                f.name(block.finish?),
            );
            Some(Finding::says(says).step(f.id(x.begin)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let x = f.structure.follows.iter().find(|x| x.begin == at)?;
    let finish = too_late(f, x)?.finish?;
    Some(vec![move_before(f, at, finish + 1)])
}
