use super::help::change;
use crate::cell::{ELASTIC_SPEED_MM_S, fast_overrun};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::routine::{DEFAULT_SENSING_SPEED_MM_S, Instruction, SensingBlock};
use crate::session::Action;
use crate::text::{RuleName, against, mm, say, speed};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FeelTooFast,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("feel_too_fast.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::MissWithArc, ..RuleTraits::USUAL },
};

/// The stretches of sensing that feel too fast.
fn fast<'f>(f: &'f Facts) -> impl Iterator<Item = &'f SensingBlock> {
    let feels = |s: &SensingBlock| {
        f.touches.iter().any(|t| t.step > s.begin && s.end.is_none_or(|end| t.step < end))
    };
    f.structure.sensing.iter().filter(move |s| s.speed_mm_s > ELASTIC_SPEED_MM_S && feels(s))
}

fn check(f: &Facts) -> Vec<Finding> {
    fast(f)
        .map(|s| {
            let [set, most] = against(speed(s.speed_mm_s, 0), speed(ELASTIC_SPEED_MM_S, 0));
            let further = mm(fast_overrun(s.speed_mm_s), 1);
            let says = say::feel_too_fast(f.step(s.begin), set, most, further);
            RULE.says(says).step(f.id(s.begin))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let s = fast(f).find(|s| s.begin == at)?;
    let (speed_mm_s, reach_mm) = (DEFAULT_SENSING_SPEED_MM_S, s.reach_mm);
    Some(vec![change(f, at, Instruction::SensingOn { speed_mm_s, reach_mm })])
}
