use super::layout::{add_model_touch, lacking};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::routine::FindBlock;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::TooFewTouches,
    title: "Too few touches",
    asks: "The touches can fix every freedom that is ticked.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("too_few_touches.md"),
    hints: [
        "How many things may the part have done, and how many touches tell of them?",
        "Count the feels before the find against the boxes ticked in it.",
        "Add a touch: one for every slide, one more for a turn.",
    ],
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
            let says = format!(
                "{} asks for {}, which takes {needed} touches; it has {got}.",
                f.cap(find.step),
                find.may.label()
            );
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
