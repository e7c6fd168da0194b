use crate::coach::facts::{Facts, verb};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::locate::Freedoms;
use crate::routine::ProbePlan;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "freedoms-too-few",
    title: "The part can do more than the plan solves for",
    asks: "The plan solves for all that the fixture lets the part do.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("freedoms_too_few.md"),
    hints: [
        "Push the part with your hand: what can it do in this fixture?",
        "Compare the freedoms of the probe plan with the play of the fixture.",
        "Choose the freedoms that cover all the fixture lets the part do.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let blocks = &f.structure.blocks;
    let Some((first, plan)) = blocks.iter().find_map(|b| f.plan_of(b).map(|p| (b, p))) else {
        return Vec::new();
    };
    let covered: Freedoms =
        blocks.iter().filter_map(|b| f.plan_of(b)).map(|plan| plan.freedoms).collect();
    let missing = f.state.part.play.free().difference(covered);
    if missing.is_empty() || first.probes.is_empty() {
        return Vec::new();
    }
    let mut verbs: Vec<&str> = missing.list().map(verb).collect();
    verbs.dedup();
    let says = format!(
        "Plan {} solves for {}, and this fixture also lets the part {}.",
        plan.name,
        plan.freedoms.label(),
        verbs.join(" and ")
    );
    vec![Finding::says(says).step(f.id(first.begin))]
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    with_play_freedoms(f, finding)
}

/// The plan with the freedoms that the fixture leaves.
pub(super) fn with_play_freedoms(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let block = f.structure.blocks.iter().find(|b| b.begin == at)?;
    let plan: &ProbePlan = f.plan_of(block)?;
    let freedoms = f.state.part.play.freedoms();
    Some(vec![Action::SetPlan { plan: ProbePlan { freedoms, ..plan.clone() } }])
}
