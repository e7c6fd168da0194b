use super::help::change;
use crate::cell::{ELASTIC_SPEED_MM_S, fast_overrun};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::routine::{DEFAULT_SENSING_SPEED_MM_S, Instruction, SensingBlock};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FeelTooFast,
    title: "The searches are too fast for the wire",
    asks: "The torch feels no faster than the wire stands: 60 mm/s.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("feel_too_fast.md"),
    hints: [
        "The wire has touched. How far does the torch run on before it stands?",
        "Compare the speed in sensing on with what the wire stands.",
        "Give sensing on a speed of 20 mm/s, and no more than 60 mm/s.",
    ],
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
            let says = format!(
                "{} feels at {:.0} mm/s: expected at most {ELASTIC_SPEED_MM_S:.0} mm/s. At each touch the torch runs on {:.1} mm further than the wire gives, and the wire is bent.",
                f.cap(s.begin),
                s.speed_mm_s,
                fast_overrun(s.speed_mm_s),
            );
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
