use super::watching::{done_before, run_of};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::session::Action;
use crate::text::{RuleName, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::StickOutChanged,
    weight: Severity::Misses,
    skill: Skill::FindFault,
    page: include_str!("stick_out_changed.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        silences: &[
            RuleName::ProofOffsetIgnored,
            RuleName::DisagreementIgnored,
            RuleName::OffsetBeyondPlay,
        ],
        reveals: true,
        ..RuleTraits::USUAL
    },
};

/// Accuracy of measuring the stick-out, mm (common practice, no source).
const SAME_MM: f64 = 0.2;

fn check(f: &Facts) -> Vec<Finding> {
    let other = f.current().iter().filter(|r| r.compares()).find_map(|r| {
        let reference = f.reference_before(r)?;
        r.log.searches.iter().find_map(|s| {
            let stored = reference.log.searches.iter().find(|o| o.step == s.step)?;
            let now = r.log.wire_before(s).stick_out_mm;
            let was = reference.log.wire_before(stored).stick_out_mm;
            // A search from the side does not notice; the more it goes down, the more it does.
            let changes = (now - was).abs() * s.direction.z.abs() > SAME_MM;
            changes.then_some((r, now, was))
        })
    });
    other
        .map(|(r, now, was)| {
            let [now, was] = mm_against(now, was);
            RULE.says(say::stick_out_changed(r.number, now, was)).run(r.number)
        })
        .into_iter()
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let reference = f.reference_before(run_of(f, finding)?)?;
    let stick_out_mm = reference.wire.stick_out_mm;
    Some(f.state.by_hand([Action::CutWire { stick_out_mm }]))
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    done_before(finding, script, mend(f, finding).into_iter().flatten());
}
