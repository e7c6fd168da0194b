use super::watching::same_feels;
use crate::coach::facts::{Facts, RunFacts, stopped_by};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::rule_name::RuleName;
use crate::routine::RunEnd;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::UnexplainedMiss,
    title: "A run missed or stopped, and no rule explains it",
    asks: "A run that missed or stopped is looked into before the next part.",
    weight: Severity::Misses,
    skill: Skill::FindFault,
    page: include_str!("unexplained_miss.md"),
    hints: [
        "What was different in this run from the proof run?",
        "Compare what each touch really met with the face it was meant for, and the wire with a straight one.",
        "Cut the wire, put the part back, make a proof run, and see whether its offset is next to nothing.",
    ],
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

/// Whether wire, routine or cell were changed before the next run; another part is no answer.
fn looked_into(f: &Facts, r: &RunFacts) -> bool {
    let Some(next) = f.runs.get(r.number) else { return false };
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
            let worst = weld
                .miss
                .iter()
                .map(|m| m.standoff_mm)
                .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
            let by = if weld.worst_mm.abs() > weld.tolerance_mm {
                format!(
                    "missed by {:.1} mm beside the seam (allowed {:.1} mm)",
                    weld.worst_mm.abs(),
                    weld.tolerance_mm
                )
            } else {
                format!("missed: its tip-to-work distance was off by {:.1} mm", worst.abs())
            };
            (by, leg.map(|l| l.time[0]))
        }
        (None, Some(RunEnd::Stopped { .. })) if next.is_none() => {
            let why = stopped_by(&r.log).unwrap_or_default();
            (format!("stopped ({why})"), Some(r.log.duration))
        }
        _ => return None,
    };
    let excluded = excluded(f, r);
    let excluded = match &excluded[..] {
        [] => String::new(),
        some => format!(" It is not that {}.", some.join(", or that ")),
    };
    let says = format!(
        "Run {} {what}, and no rule explains it.{excluded} Look next at the wire, at what each touch really met, at the part, and at the weld points.",
        r.number
    );
    Some(RULE.says(says).run(r.number).time(time))
}

/// What can be told from what the controller knows: nothing of it reveals where the part truly lies.
fn excluded(f: &Facts, r: &RunFacts) -> Vec<&'static str> {
    let mut all = Vec::new();
    if r.log.found().is_some_and(|(fit, _)| fit.consistent) {
        all.push("the touches disagree");
    }
    if f.reference_before(r).is_some_and(|reference| same_feels(reference, r)) {
        all.push("a feel was changed since the reference");
    }
    all
}
