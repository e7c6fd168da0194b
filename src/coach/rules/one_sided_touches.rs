use super::layout::{add_model_touch, lacking, misses_a_face};
use crate::coach::facts::{Facts, verbs};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::locate::{Freedom, Freedoms};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::OneSidedTouches,
    title: "The touches look from one side only",
    asks: "A part that slides two ways is touched from two sides; one that also turns, twice along one face, or far apart on several.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("one_sided_touches.md"),
    hints: [
        "If the part slid along the face you touch, would any reading change?",
        "Compare the directions of the feels with the ways the part can go.",
        "Add a touch on a face that stands square to the others; for a turn, a second one along the same face.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits {
        // These touches must move to another face anyway.
        silences: &[RuleName::ShortBaseline],
        ..RuleTraits::USUAL
    },
};

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .finds
        .iter()
        .filter_map(|find| {
            if find.feels.len() < find.may.count() || misses_a_face(f, find) {
                return None;
            }
            let lacking = lacking(f, find);
            // The slides first, the turn last, as the hints go.
            let first = (lacking - Freedoms::TURN).list().next().or(lacking.list().next())?;
            let says = if first == Freedom::Turn {
                format!("No face is touched twice, and the touches of {} do not tell how far the part has turned.", f.name(find.step))
            } else {
                format!("If the part {}, no touch of {} notices: touch it from another side as well.", verbs(first), f.name(find.step))
            };
            Some(RULE.says(says).step(f.id(find.step)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    add_model_touch(f, f.find_at(f.place(finding.step)?)?)
}
