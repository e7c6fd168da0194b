use super::help::add;
use super::watching::run_of;
use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::routine::{EventKind, StepId};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoTouchIgnored,
    weight: Severity::Ruins,
    skill: Skill::FindFault,
    page: include_str!("no_touch_ignored.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        // The feel was removed.
        silences: &[
            RuleName::FeelEditedAfterReference,
            RuleName::FirstRunTooFast,
            RuleName::WireBentAndUsed,
            RuleName::TooFewTouches,
            RuleName::OneSidedTouches,
            RuleName::ShortBaseline,
            RuleName::ForecastOutsideTolerance,
        ],
        ..RuleTraits::USUAL
    },
};

/// A failed search, and the later run without that search, or the second one with nothing changed: the
/// first tells whether it comes again.
fn first<'f>(f: &'f Facts) -> Option<(&'f RunFacts, &'f RunFacts, StepId)> {
    f.current().iter().find_map(|r| {
        let step = failed(r)?;
        let again = f.runs[r.number - 1..].windows(2);
        let repeats = again.take_while(|w| failed(&w[0]).is_some() && !changed(f, &w[0], &w[1]));
        let repeats = repeats.count();
        if repeats > 1 {
            return Some((r, &f.runs[r.number + 1], step));
        }
        let later = f.runs.get(r.number + repeats)?;
        let gone = [&later.routine, f.routine].map(|routine| routine.index_of(step).is_none());
        (gone == [true, true]).then_some((r, later, step))
    })
}

/// The step whose search found nothing.
fn failed(r: &RunFacts) -> Option<StepId> {
    r.log.events.iter().find_map(|e| match e.what {
        EventKind::SearchFailed { search } => r.log.searches.get(search).map(|s| s.step),
        _ => None,
    })
}

/// Whether anything was changed between two runs.
fn changed(f: &Facts, before: &RunFacts, later: &RunFacts) -> bool {
    later.routine != before.routine
        || later.reference() != before.reference()
        || !still(&later.part, &before.part)
        || before.log.wire.last().is_none_or(|(_, wire)| *wire != later.wire)
        || cell_changed(f, before, later)
}

/// Whether planted faults or bodies of the part were others in a later run.
fn cell_changed(f: &Facts, r: &RunFacts, later: &RunFacts) -> bool {
    let [before, after] = [r, later].map(|r| f.state.run_contexts.get(r.number - 1));
    before.zip(after).is_some_and(|(before, after)| {
        before.began.faults != after.began.faults || before.own_motions != after.own_motions
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some((r, later, step)) = first(f) else { return Vec::new() };
    let search = r.log.searches.iter().find(|s| s.step == step);
    let face = search.map_or("", |s| s.face.as_str());
    let says = if later.routine.index_of(step).is_none() {
        say::feel_taken_out(r.number, face, later.number)
    } else {
        say::nothing_changed(r.number, face, later.number)
    };
    vec![RULE.says(says).step(step).run(r.number).time(search.map(|s| s.time))]
}

/// Restores the feel.
fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let r = run_of(f, finding)?;
    let was = r.routine.index_of(finding.step?)?;
    if f.routine.index_of(finding.step?).is_some() {
        return None;
    }
    let before = (0..was).rev().find_map(|k| f.routine.index_of(r.routine.steps[k].id));
    let at = before.map_or(0, |k| k + 1);
    Some(vec![add(at, r.routine.steps[was].instruction.clone())])
}

/// The feel stays in, as it was.
fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    let (Some(r), Some(id)) = (run_of(f, finding), finding.step) else { return };
    let Some(was) = r.routine.index_of(id) else { return };
    let step = &r.routine.steps[was];
    let point = step.instruction.point().and_then(|name| r.routine.point(name));
    script.edit(|routine| {
        let mut routine = routine.clone();
        if routine.index_of(id).is_none() {
            let before = (0..was).rev().find_map(|k| routine.index_of(r.routine.steps[k].id));
            routine.steps.insert(before.map_or(0, |k| k + 1), step.clone());
            if let Some(point) = point.filter(|p| routine.point(&p.name).is_none()) {
                routine.points.push(point.clone());
            }
        }
        routine
    });
}
