use super::layout::{add_model_touch, lacking, misses_a_face};
use crate::coach::facts::{Facts, verbs};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::locate::{Freedom, Freedoms};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::OneSidedTouches,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("one_sided_touches.md"),
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
            let step = f.step(find.step);
            let says = match first {
                Freedom::Turn => say::no_touch_tells_turn(step),
                Freedom::Height => say::no_touch_tells_height(step),
                Freedom::TiltX | Freedom::TiltY => say::no_touch_tells_tilt(step),
                Freedom::X | Freedom::Y => say::no_touch_tells(verbs(first), step),
            };
            Some(RULE.says(says).step(f.id(find.step)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    add_model_touch(f, f.find_at(f.place(finding.step)?)?)
}
