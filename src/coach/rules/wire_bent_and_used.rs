use super::watching::run_of;
use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::session::Action;
use crate::text::{RuleName, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::WireBentAndUsed,
    weight: Severity::Misses,
    skill: Skill::FindFault,
    page: include_str!("wire_bent_and_used.md"),
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

/// Greatest displacement of the tip of a straight wire, mm: half the default repeatability of a touch.
const STRAIGHT_MM: f64 = 0.05;

fn check(f: &Facts) -> Vec<Finding> {
    // In a worn contact tip the wire stands askew by itself, cut or not.
    let tip_worn = |r: &&RunFacts| {
        r.stretches.iter().any(|s| s.faults.iter().any(|f| matches!(f, Fault::TipWorn { .. })))
    };
    // Only the part of the bend along a search changes its touch.
    let bent = f.current().iter().filter(|r| !tip_worn(r)).find_map(|r| {
        let along = r.log.searches.iter().map(|s| {
            let wire = r.log.wire_before(s);
            (s, wire.bend.norm(), wire.bend.dot(&s.direction).abs())
        });
        let worst = along.max_by(|a, b| a.2.total_cmp(&b.2))?;
        (worst.2 > STRAIGHT_MM).then_some((r, worst))
    });
    bent.map(|(r, (search, bend, along))| {
        let (bend, by) = (mm(bend, 1), mm(along, 1));
        let says = say::wire_bent_and_used(r.number, bend, &search.face, by);
        RULE.says(says).run(r.number).time(Some(search.time))
    })
    .into_iter()
    .collect()
}

/// The wire cut as it was in the reference run.
fn cut(f: &Facts, finding: &Finding) -> Option<Action> {
    let run = run_of(f, finding)?;
    let stick_out_mm =
        f.reference_before(run).map_or(f.state.settings.stick_out_mm, |r| r.wire.stick_out_mm);
    Some(Action::CutWire { stick_out_mm })
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    Some(f.state.by_hand([cut(f, finding)?]))
}

/// Cut before the run, and again where it may have been bent in a pause.
fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    if let (Some(run), Some(cut)) = (finding.run, cut(f, finding)) {
        script.before_each_stretch(run, &cut);
    }
}
