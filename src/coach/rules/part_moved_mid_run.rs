use super::watching::without_fault;
use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::{Script, ScriptEntry};
use crate::routine::{EventKind, Leg, LegKind};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::PartMovedMidRun,
    weight: Severity::Misses,
    skill: Skill::FindFault,
    page: include_str!("part_moved_mid_run.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        silences: &[
            RuleName::ProofOffsetIgnored,
            RuleName::DisagreementIgnored,
            RuleName::OffsetBeyondPlay,
            RuleName::WireBentAndUsed,
        ],
        reveals: true,
        ..RuleTraits::USUAL
    },
};

/// The part moved between a touch and a weld of the run: at this time, s, or by an unseen slip.
enum Moved {
    At(f64),
    Unseen,
}

fn moved(r: &RunFacts) -> Option<Moved> {
    let touched = r.log.searches.first()?.time;
    // On the way home nothing depends on where the part lies.
    let depends = |l: &&Leg| l.kind != LegKind::Travel || l.follows.is_some();
    let last = r.log.legs.iter().rfind(depends)?.time[1];
    let seen: Vec<f64> = r
        .log
        .events
        .iter()
        .filter(|e| matches!(e.what, EventKind::PartMoved))
        .map(|e| e.time)
        .collect();
    if let Some(&time) = seen.iter().find(|&&t| t >= touched && t < last) {
        return Some(Moved::At(time));
    }
    let slipped = !still(&r.part, &r.log.part_at_end) && !r.log.welds.is_empty();
    (seen.is_empty() && slipped).then_some(Moved::Unseen)
}

fn check(f: &Facts) -> Vec<Finding> {
    f.current()
        .iter()
        .rev()
        .find_map(|r| moved(r).map(|m| (r, m)))
        .map(|(r, m)| {
            let time = match m {
                Moved::At(s) => Some(s),
                Moved::Unseen => None,
            };
            RULE.says(say::part_moved_mid_run(r.number)).run(r.number).time(time)
        })
        .into_iter()
        .collect()
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    f.state.paused.is_some().then(|| vec![Action::Abort])
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    without_fault(script, |f| matches!(f, Fault::PartSlipsMidRun { .. }));
    let Some(at) = finding.run.and_then(|n| script.index_of_run(n)) else { return };
    // Without the mistake the part is moved before the run.
    let until = script.entries[at + 1..]
        .iter()
        .position(|b| matches!(b, ScriptEntry::Run(_)))
        .map_or(script.entries.len(), |n| at + 1 + n);
    let last_resume =
        script.entries[at..until].iter().rposition(|b| matches!(b, ScriptEntry::Resume(_)));
    let Some(last) = last_resume.map(|n| at + n) else { return };
    let mut early = Vec::new();
    let mut i = at + 1;
    let mut end = last;
    while i < end {
        if matches!(script.entries[i], ScriptEntry::Other(Action::PlacePart { .. })) {
            early.push(script.entries.remove(i));
            end -= 1;
        } else {
            i += 1;
        }
    }
    script.entries.splice(at..at, early);
}
