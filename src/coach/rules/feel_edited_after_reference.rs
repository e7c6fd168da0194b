use super::watching::{Change, back_and_flag_on, changed_feels, reference_before, without_fault};
use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::routine::Structure;
use crate::session::Action;
use crate::text::{RuleName, say, speed};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FeelEditedAfterReference,
    weight: Severity::Misses,
    skill: Skill::RunReference,
    page: include_str!("feel_edited_after_reference.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        // The change is the mistake, not the full speed of the run after it.
        silences: &[
            RuleName::ProofOffsetIgnored,
            RuleName::FirstRunTooFast,
            RuleName::DisagreementIgnored,
            RuleName::OffsetBeyondPlay,
        ],
        reveals: true,
        ..RuleTraits::USUAL
    },
};

fn first<'f>(f: &'f Facts) -> Option<(&'f RunFacts, Change)> {
    f.current().iter().filter(|r| r.compares()).find_map(|r| {
        let reference = f.reference_before(r)?;
        let changed = changed_feels(reference, r);
        let structure = Structure::of(&r.routine);
        let foreign = r
            .foreign_speed
            .filter(|v| structure.sensing.iter().any(|s| (s.speed_mm_s - v).abs() > 1e-9));
        changed.or_else(|| foreign.map(Change::Speed)).map(|c| (r, c))
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some((r, change)) = first(f) else { return Vec::new() };
    let (what, step) = match change {
        Change::Feel(id, point) => (say::the_feel_from(&point), Some((id, point))),
        Change::Speed(v) => (say::the_sensing_speed(speed(v, 0)), None),
        Change::Number => (say::the_number_of_feels(), None),
    };
    let finding = RULE.says(say::feel_edited(r.number, what)).run(r.number);
    vec![match step {
        Some((id, point)) => finding.step(id).point(&point),
        None => finding,
    }]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(back_and_flag_on(f))
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    without_fault(script, |f| matches!(f, Fault::SensingSpeedChanged { .. }));
    reference_before(f, finding, script);
}
