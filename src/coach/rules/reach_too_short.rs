use super::help::change;
use crate::coach::facts::{Facts, Meets, TouchFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ReachTooShort,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("reach_too_short.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Length of the longest search needed, mm.
fn needed(t: &TouchFacts) -> f64 {
    let travel = |m: &Meets| match m {
        Meets::Face(m) => m.travel,
        _ => 0.0,
    };
    t.moved.iter().map(travel).fold(travel(&t.taught), f64::max)
}

fn check(f: &Facts) -> Vec<Finding> {
    let short = f.touches.iter().filter(|t| needed(t) > t.reach && t.meets().is_some());
    // A search that passes over its face needs another height.
    let short = short.filter(|t| !super::touch_height::is_wrong(f, t));
    let worst = short.max_by(|a, b| needed(a).total_cmp(&needed(b)));
    worst
        .map(|t| {
            let [needed, reach] = mm_against(needed(t), t.reach);
            let says = say::reach_too_short(f.step(t.step), needed, &t.face, reach);
            RULE.says(says).step(f.id(t.step)).point(&t.point)
        })
        .into_iter()
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let sensing = f.structure.sensing.iter().rfind(|s| s.begin < at)?;
    let of_it = |t: &&TouchFacts| t.step > sensing.begin && sensing.end.is_none_or(|e| t.step < e);
    let longest = f.touches.iter().filter(of_it).map(needed).fold(0.0, f64::max);
    let (speed_mm_s, reach_mm) = (sensing.speed_mm_s, longest.ceil() + 1.0);
    Some(vec![change(f, sensing.begin, Instruction::SensingOn { speed_mm_s, reach_mm })])
}
