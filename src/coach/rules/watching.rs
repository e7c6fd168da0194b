//! Helpers for the rules about the session.

use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts, Structure};
use crate::coach::finding::Finding;
use crate::coach::script::{Script, ScriptEntry, ScriptRun};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{Instruction, ProbePlan, Routine, RunSpeed, StepId};
use crate::session::Action;

/// The run of a finding.
pub(super) fn run_of<'f>(f: &'f Facts, finding: &Finding) -> Option<&'f RunFacts> {
    f.runs.get(finding.run?.checked_sub(1)?)
}

/// Sets the reference flag of every used plan.
pub(super) fn set_flags(f: &Facts, on: bool) -> Vec<Action> {
    let mut plans: Vec<&ProbePlan> =
        f.structure.blocks.iter().filter_map(|b| f.plan_of(b)).collect();
    plans.dedup_by(|a, b| a.name == b.name);
    plans
        .into_iter()
        .filter(|p| p.reference != on)
        .map(|p| Action::SetPlan { plan: ProbePlan { reference: on, ..p.clone() } })
        .collect()
}

/// Actions that prepare a reference run: the part where the points were taught, the flag on.
pub(super) fn back_and_flag_on(f: &Facts) -> Vec<Action> {
    let mut edits = set_flags(f, true);
    edits.insert(0, Action::PlacePart { part: f.taught.into() });
    edits
}

/// Places the part.
pub(super) fn place(part: Pose) -> ScriptEntry {
    ScriptEntry::Other(Action::PlacePart { part: part.into() })
}

/// Inserts a run before that of the finding: the same at reduced speed with the part where the points
/// were taught, changed by `how`; then the part as before.
pub(super) fn run_before(
    f: &Facts,
    finding: &Finding,
    script: &mut Script,
    how: impl FnOnce(&mut ScriptRun),
) {
    let Some(r) = run_of(f, finding) else { return };
    let Some(mut run) = script.run(r.number).cloned() else { return };
    run.number = 0;
    run.speed = RunSpeed::Reduced;
    how(&mut run);
    script.before(r.number, [place(r.taught), ScriptEntry::Run(run), place(r.part)]);
}

/// Inserts a good reference run before that of the finding.
pub(super) fn reference_before(f: &Facts, finding: &Finding, script: &mut Script) {
    run_before(f, finding, script, |run| {
        run.set_flag(true);
        run.arc = false;
        run.steps = None;
    });
}

/// Inserts these actions before the run of the finding.
pub(super) fn done_before(
    finding: &Finding,
    script: &mut Script,
    actions: impl IntoIterator<Item = Action>,
) {
    if let Some(number) = finding.run {
        script.before(number, actions.into_iter().map(ScriptEntry::Other));
    }
}

/// Whether no such fault was planted.
pub(super) fn without_fault(script: &mut Script, is: fn(&Fault) -> bool) {
    script
        .entries
        .retain(|b| !matches!(b, ScriptEntry::Other(Action::Plant { fault }) if is(fault)));
}

/// What has changed since the reference run.
pub(super) enum Change {
    Step(StepId, String),
    Speed(f64),
    Reach(f64),
    Number,
}

/// Differences below this do not count, mm: finer than teaching by hand.
const SAME_MM: f64 = 1e-6;

/// The first difference between the probing of two routines, except reference flag and freedoms.
pub(super) fn changed_probing(before: &Routine, now: &Routine) -> Option<Change> {
    let (was, is) = (probes(before), probes(now));
    for (id, point, at, direction) in &is {
        let Some(old) = was.iter().find(|o| o.0 == *id) else { continue };
        if (old.2 - at).norm() > SAME_MM || (old.3 - direction).norm() > SAME_MM {
            return Some(Change::Step(*id, point.clone()));
        }
    }
    if was.len() != is.len() || !is.iter().all(|p| was.iter().any(|o| o.0 == p.0)) {
        return Some(Change::Number);
    }
    for block in Structure::of(now).blocks {
        let (Some(old), Some(plan)) = (before.plan(&block.plan), now.plan(&block.plan)) else {
            continue;
        };
        if old.speed_mm_s != plan.speed_mm_s {
            return Some(Change::Speed(plan.speed_mm_s));
        }
        if old.reach_mm != plan.reach_mm {
            return Some(Change::Reach(plan.reach_mm));
        }
    }
    None
}

pub(super) fn same_probing(before: &Routine, now: &Routine) -> bool {
    changed_probing(before, now).is_none()
}

type ProbeStep = (StepId, String, Point3<f64>, Vector3<f64>);

fn probes(routine: &Routine) -> Vec<ProbeStep> {
    let of = |s: &crate::routine::Step| match &s.instruction {
        Instruction::Probe { from, direction, .. } => {
            let direction = direction.try_normalize(1e-9).unwrap_or_default();
            Some((s.id, from.clone(), routine.point(from)?.at, direction))
        }
        _ => None,
    };
    routine.steps.iter().filter_map(of).collect()
}

/// Whether two routines move the torch in the same way; names, ids and reference flag may differ.
pub(super) fn same_moves(a: &Routine, b: &Routine) -> bool {
    moves(a) == moves(b)
}

fn moves(routine: &Routine) -> Vec<(Instruction, Option<Point3<f64>>, Option<ProbePlan>)> {
    let nameless = |act: &Instruction| {
        let mut act = act.clone();
        if let Some(name) = act.point_mut() {
            let home = name == crate::routine::HOME;
            name.clear();
            if home {
                name.push_str(crate::routine::HOME);
            }
        }
        act
    };
    let plan = |act: &Instruction| match act {
        Instruction::BeginProbing { plan } => {
            routine.plan(plan).map(|p| ProbePlan { reference: false, ..p.clone() })
        }
        _ => None,
    };
    routine
        .steps
        .iter()
        .map(|s| {
            let at = s.instruction.point().and_then(|p| routine.point(p)).map(|p| p.at);
            (nameless(&s.instruction), at, plan(&s.instruction))
        })
        .collect()
}
