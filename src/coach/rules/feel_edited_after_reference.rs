use super::watching::{Change, back_and_flag_on, changed_feels, reference_before, without_fault};
use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::coach::script::Script;
use crate::routine::Structure;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FeelEditedAfterReference,
    title: "A touch was changed after the reference run",
    asks: "After a change of a point, a direction or the speed of a feel there is a new reference run on the unmoved part.",
    weight: Severity::Misses,
    skill: Skill::RunReference,
    page: include_str!("feel_edited_after_reference.md"),
    hints: [
        "Do the touches of this run and those of the reference run start alike?",
        "Look at what has been changed in the feels since the reference run.",
        "Put the part back where the points were taught, flag on, run, flag off.",
    ],
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
        Change::Feel(id, point) => (format!("the feel from {point}"), Some((id, point))),
        Change::Speed(v) => (format!("the sensing speed (now {v:.0} mm/s)"), None),
        Change::Number => ("the number of feels".into(), None),
    };
    let says = format!(
        "Between the reference run and run {} {what} was changed: the reference no longer fits. It takes a new one, with the part back in place.",
        r.number
    );
    let finding = RULE.says(says).run(r.number);
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
