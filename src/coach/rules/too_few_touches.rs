use super::layout::{add_model_touch, lacking};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::FindBlock;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::TooFewTouches,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("too_few_touches.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .finds
        .iter()
        .filter_map(|find| {
            let (got, needed) = (find.feels.len(), find.may.count());
            if got >= needed || (got > 0 && lacking(f, find).is_empty()) {
                return None;
            }
            let (step, may) = (f.step(find.step), find.may.said());
            let says = if needed == 1 {
                say::no_touch(step, may)
            } else {
                say::too_few_touches(step, may, needed, got)
            };
            Some(RULE.says(says).step(f.id(find.step)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let find = f.find_at(f.place(finding.step)?)?;
    // The same find again, with nothing felt in between.
    let again = |b: &FindBlock| b.place == find.place && b.step < find.step;
    if find.feels.is_empty() && f.structure.finds.iter().any(again) {
        return Some(vec![Action::DeleteStep { id: f.id(find.step) }]);
    }
    add_model_touch(f, find)
}
