use super::help::move_before;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::routine::{EventKind, Instruction};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::HomeFollowsPart,
    weight: Severity::Ruins,
    skill: Skill::KeepFrame,
    page: include_str!("home_follows_part.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::HomeMissed, ..RuleTraits::USUAL },
};

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .follows
        .iter()
        // Without *stop following*, that is the mistake; the home move is its consequence.
        .filter_map(|block| block.end.map(|end| (block, end)))
        .flat_map(|(block, end)| (block.begin..end).map(move |i| (block, i)))
        .filter(|(_, i)| f.routine.steps[*i].instruction.is_home())
        .map(|(block, i)| {
            let id = f.id(i);
            let carried = f.runs.iter().rev().find_map(|r| {
                let here = |e: &&crate::routine::Event| {
                    e.step == id
                        && matches!(e.what, EventKind::HomeCarried { by_mm } if by_mm > 0.0)
                };
                r.log.events.iter().find(here).map(|e| (r.number, e.time))
            });
            let says = say::home_follows_part(f.step(i), &block.place);
            let finding = RULE.says(says).step(id).point(crate::routine::HOME);
            match carried {
                Some((run, time)) => finding.run(run).time(Some(time)),
                None => finding,
            }
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let home = f.place(finding.step)?;
    let stop = f.structure.follow_at(home)?.end?;
    let welds_later = f.routine.steps[home..stop].iter().any(|s| s.instruction.is_weld());
    Some(vec![if welds_later
        || !matches!(f.routine.steps[stop].instruction, Instruction::StopFollowing)
    {
        Action::DeleteStep { id: f.id(home) }
    } else {
        move_before(f, stop, home)
    }])
}
