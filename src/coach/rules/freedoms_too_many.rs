use super::layout::{blind, lacking, misses_a_face};
use crate::coach::facts::{Facts, verbs};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FreedomsTooMany,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("freedoms_too_many.md"),
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
            let mut does: Vec<_> = blind(f, find).difference(free).list().map(verbs).collect();
            does.dedup();
            if does.is_empty() {
                return None;
            }
            let says =
                say::freedoms_too_many(f.step(find.step), find.may.said(), say::one_of(does));
            Some(RULE.says(says).step(f.id(find.step)))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    super::freedoms_too_few::with_play_freedoms(f, finding)
}
