use super::layout::{add_model_touch, lacking, misses_a_face};
use crate::coach::facts::{Facts, verbs};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::locate::{Freedom, Freedoms};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "one-sided-touches",
    title: "The touches look from one side only",
    asks: "A part that slides two ways is touched in two independent directions; one that also turns, at least twice along one face.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("one_sided_touches.md"),
    hints: [
        "If the part slid along the face you touch, would any reading change?",
        "Compare the directions of the probe steps with the ways the part can go.",
        "Add a touch on a face that stands square to the others; for a turn, a second one along the same face.",
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
            if b.probes.len() < plan.freedoms.count() || misses_a_face(f, b) {
                return None;
            }
            let lacking = lacking(f, b);
            // The slides first, the turn last, as the hints go.
            let first = (lacking - Freedoms::TURN).list().next().or(lacking.list().next())?;
            let says = if first == Freedom::Turn {
                format!("No face is touched twice: the touches of plan {} do not tell how far the part has turned.", plan.name)
            } else {
                format!("If the part {}, no touch of plan {} changes: touch it from another side as well.", verbs(first), plan.name)
            };
            Some(Finding::says(says).step(f.id(b.begin)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let block = f.structure.blocks.iter().find(|b| b.begin == at)?;
    add_model_touch(f, block)
}
