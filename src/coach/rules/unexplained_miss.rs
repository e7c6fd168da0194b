use super::watching::same_feels;
use crate::cell::{END_MM, STANDOFF_MM};
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits, cannot_mend};
use crate::routine::RunEnd;
use crate::text::{RuleName, Sentence, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::UnexplainedMiss,
    weight: Severity::Misses,
    skill: Skill::FindFault,
    page: include_str!("unexplained_miss.md"),
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Every run that welded beside the seam with the arc on, and the last run if it stopped. Those that
/// another finding explains are dropped later.
fn check(f: &Facts) -> Vec<Finding> {
    let all = f.current().iter();
    all.filter_map(|r| says(f, r, f.runs.get(r.number)).filter(|_| !looked_into(f, r))).collect()
}

/// Whether wire, routine or cell were changed before the next run, or the routine since the last one;
/// another part is no answer.
fn looked_into(f: &Facts, r: &RunFacts) -> bool {
    let Some(next) = f.runs.get(r.number) else {
        // Played without another mistake, the learner's routine is as it was.
        return f.session.is_some() && *f.routine != *r.routine;
    };
    let wire = r.log.wire.last().map(|(_, wire)| *wire);
    let faults = |r: &RunFacts| r.stretches.last().map(|s| s.faults.clone());
    let next_faults = next.stretches.first().map(|s| s.faults.clone());
    next.routine != r.routine || wire != Some(next.wire) || faults(r) != next_faults
}

fn says(f: &Facts, r: &RunFacts, next: Option<&RunFacts>) -> Option<Finding> {
    let missed = r.log.welds.iter().filter(|_| r.log.arc).find(|w| !w.landed);
    let (what, time) = match (missed, &r.log.end) {
        (Some(weld), _) => {
            let leg = r.log.legs.iter().rfind(|l| l.step == weld.step);
            let distance = weld.miss.iter().map(|m| m.standoff_mm.abs()).fold(0.0, f64::max);
            let says = if weld.worst_mm.abs() > weld.tolerance_mm {
                let [by, allowed] = mm_against(weld.worst_mm, weld.tolerance_mm);
                say::unexplained_miss(r.number, by, allowed)
            } else if distance > STANDOFF_MM {
                let [by, allowed] = mm_against(distance, STANDOFF_MM);
                say::unexplained_distance(r.number, by, allowed)
            } else {
                let along = weld.miss.iter().map(|m| m.along_mm.abs()).fold(0.0, f64::max);
                let [by, allowed] = mm_against(along, END_MM);
                say::unexplained_end(r.number, by, allowed)
            };
            (says, leg.map(|l| l.time[0]))
        }
        (None, Some(RunEnd::Stopped { .. })) if next.is_none() => {
            let why = r.log.stopped_by()?;
            (say::unexplained_stop(r.number, why), Some(r.log.duration))
        }
        _ => return None,
    };
    let excluded = match &excluded(f, r)[..] {
        [] => None,
        [one] => Some(say::it_is_not_that(one.clone())),
        [one, other, ..] => Some(say::it_is_not_either(one.clone(), other.clone())),
    };
    let says = say::then(say::then(what, excluded), Some(say::look_next()));
    Some(RULE.says(says).run(r.number).time(time))
}

/// What can be told from what the controller knows: nothing of it reveals where the part truly lies.
fn excluded(f: &Facts, r: &RunFacts) -> Vec<Sentence> {
    let mut all = Vec::new();
    if r.log.found().is_some_and(|(fit, _)| fit.consistent) {
        all.push(say::touches_disagree());
    }
    if f.reference_before(r).is_some_and(|reference| same_feels(reference, r)) {
        all.push(say::a_feel_was_changed());
    }
    all
}
