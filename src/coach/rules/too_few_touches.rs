use super::layout::{add_model_touch, lacking};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "too-few-touches",
    title: "Too few touches",
    asks: "The touches can fix every freedom of the plan.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("too_few_touches.md"),
    hints: [
        "How many things may the part have done, and how many touches tell of them?",
        "Count the probe steps of the plan against what the plan lets the part do.",
        "Add a touch: one for every slide, one more for a turn.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .blocks
        .iter()
        .filter_map(|b| {
            let plan = f.plan_of(b)?;
            // *Begin probing* twice: the second counts.
            if b.probes.is_empty() && f.structure.blocks.len() > 1 {
                return None;
            }
            let (got, needed) = (b.probes.len(), plan.freedoms.count());
            if got >= needed
                || (got > 0 && lacking(f, b).is_empty())
                || !f.structure.stray_probes.is_empty()
            {
                return None;
            }
            let says = format!(
                "Plan {} asks for {}, which takes {needed} touches; it has {got}.",
                plan.name,
                plan.freedoms.label()
            );
            Some(Finding::says(says).step(f.id(b.begin)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let block = f.structure.blocks.iter().find(|b| b.begin == at)?;
    add_model_touch(f, block)
}
