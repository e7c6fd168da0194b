use super::layout::{blind, lacking, misses_a_face};
use crate::coach::facts::{Facts, verbs};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "freedoms-too-many",
    title: "The plan asks for more than the touches can tell",
    asks: "The plan asks for no freedom that its touches cannot see.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("freedoms_too_many.md"),
    hints: [
        "Which touch would tell you about each thing the plan asks for?",
        "Compare the freedoms of the probe plan with the directions of its touches.",
        "Choose no more freedoms than the fixture gives the part.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let free = f.state.part.play.free();
    f.structure
        .blocks
        .iter()
        .filter_map(|b| {
            let plan = f.plan_of(b)?;
            if b.probes.is_empty() || misses_a_face(f, b) || !f.structure.stray_probes.is_empty() {
                return None;
            }
            // A freedom that the fixture leaves is reported as too few touches.
            if !lacking(f, b).is_empty() {
                return None;
            }
            let mut says: Vec<&str> = blind(f, b).difference(free).list().map(verbs).collect();
            says.dedup();
            if says.is_empty() {
                return None;
            }
            let says = format!(
                "Plan {} asks for {}, and none of its touches would notice if the part {}.",
                plan.name,
                plan.freedoms.label(),
                says.join(" or ")
            );
            Some(Finding::says(says).step(f.id(b.begin)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    super::freedoms_too_few::with_play_freedoms(f, finding)
}
