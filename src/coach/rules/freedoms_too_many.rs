use super::layout::{blind, lacking, misses_a_face};
use crate::coach::facts::{Facts, verbs};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FreedomsTooMany,
    title: "The find asks for more than the touches can tell",
    asks: "Ticked is what the fixture lets the part do, and nothing that the touches cannot tell.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("freedoms_too_many.md"),
    hints: [
        "Which touch would tell you about each thing the find asks for?",
        "Compare the boxes of the find with the directions of its touches.",
        "Untick what no touch tells, or add a touch that tells it.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let free = f.state.part.play.free();
    f.structure
        .finds
        .iter()
        .filter_map(|find| {
            if find.feels.is_empty() || misses_a_face(f, find) {
                return None;
            }
            // A freedom that the fixture leaves is reported as too few touches.
            if !lacking(f, find).is_empty() {
                return None;
            }
            let mut says: Vec<&str> = blind(f, find).difference(free).list().map(verbs).collect();
            says.dedup();
            if says.is_empty() {
                return None;
            }
            let says = format!(
                "{} asks for {}, and none of its touches would notice if the part {}.",
                f.cap(find.step),
                find.may.label(),
                says.join(" or ")
            );
            Some(RULE.says(says).step(f.id(find.step)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    super::freedoms_too_few::with_play_freedoms(f, finding)
}
