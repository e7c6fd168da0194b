use super::help::add;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::SensingOnWhileWelding,
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("sensing_on_while_welding.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::MissWithArc, ..RuleTraits::USUAL },
};

fn check(f: &Facts) -> Vec<Finding> {
    let starts = f.structure.welds.iter().filter_map(|w| w.start);
    let live = starts.filter(|&i| f.structure.sensing_at(i).is_some());
    live.take(1)
        .map(|i| RULE.says(say::sensing_on_while_welding(f.step(i))).step(f.id(i)))
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let weld = f.place(finding.step)?;
    let sensing = f.structure.sensing_at(weld)?;
    let last = f.touches.iter().map(|t| t.step).filter(|&i| i > sensing.begin && i < weld).max();
    let at = last.unwrap_or(sensing.begin) + 1;
    // *Sensing off* that comes too late moves up.
    Some(vec![match sensing.end {
        Some(off) if f.routine.steps[off].instruction == Instruction::SensingOff => {
            super::help::move_before(f, off, at)
        }
        _ => add(at, Instruction::SensingOff),
    }])
}
