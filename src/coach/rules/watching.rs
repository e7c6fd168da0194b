//! Helpers for the rules about the session.

use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::Finding;
use crate::coach::script::{Script, ScriptEntry, ScriptRun};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{
    DEFAULT_SENSING_SPEED_MM_S, HOME, Instruction, Routine, RunSpeed, Step, StepId,
};
use crate::session::Action;

/// The run of a finding.
pub(super) fn run_of<'f>(f: &'f Facts, finding: &Finding) -> Option<&'f RunFacts> {
    f.runs.get(finding.run?.checked_sub(1)?)
}

/// Actions that prepare a reference run: the part where the points were taught, the flag on.
pub(super) fn back_and_flag_on(f: &Facts) -> Vec<Action> {
    let back = f.state.by_hand([Action::place_part(f.taught)]);
    back.into_iter().chain(f.state.turn_reference(true)).collect()
}

/// Places the part.
pub(super) fn place(part: Pose) -> ScriptEntry {
    ScriptEntry::Other(Action::place_part(part))
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
    run.arc = false;
    run.steps = None;
    how(&mut run);
    script.before(r.number, [place(r.taught), ScriptEntry::Run(run), place(r.part)]);
}

/// Inserts a good reference run before that of the finding.
pub(super) fn reference_before(f: &Facts, finding: &Finding, script: &mut Script) {
    run_before(f, finding, script, |run| {
        run.reference_flag = true;
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
    /// Point or direction of a feel.
    Feel(StepId, String),
    /// Speed of its search, mm/s.
    Speed(f64),
    /// The number of feels.
    Number,
}

/// Differences below this do not count, mm: finer than teaching by hand.
const SAME_MM: f64 = 1e-6;

/// The first difference between the feels of two runs that changes a touch. The reach does not, nor the
/// way to the start.
pub(super) fn changed_feels(before: &RunFacts, now: &RunFacts) -> Option<Change> {
    let (was, is) = (feels(before), feels(now));
    for feel in &is {
        let Some(old) = was.iter().find(|o| o.step == feel.step) else { continue };
        // A start moved back along its own search meets the same place.
        let aside = (feel.at - old.at).cross(&feel.direction).norm();
        if aside > SAME_MM || (old.direction - feel.direction).norm() > SAME_MM {
            return Some(Change::Feel(feel.step, feel.point.to_owned()));
        }
        if old.speed_mm_s != feel.speed_mm_s {
            return Some(Change::Speed(feel.speed_mm_s));
        }
    }
    let same = was.len() == is.len() && is.iter().all(|n| was.iter().any(|o| o.step == n.step));
    (!same).then_some(Change::Number)
}

pub(super) fn same_feels(before: &RunFacts, now: &RunFacts) -> bool {
    changed_feels(before, now).is_none()
}

/// A feel, with what its touch depends on.
struct Feel<'r> {
    step: StepId,
    point: &'r str,
    at: Point3<f64>,
    direction: Vector3<f64>,
    speed_mm_s: f64,
}

/// The feels of a run, each as it was when it was made.
fn feels(run: &RunFacts) -> Vec<Feel<'_>> {
    let of = |step: &Step| {
        let routine = run.routine_for(step.id);
        let i = routine.index_of(step.id)?;
        let Instruction::Feel { from, direction, .. } = &routine.steps[i].instruction else {
            return None;
        };
        let point = routine.point(from)?;
        Some(Feel {
            step: step.id,
            point: &point.name,
            at: point.at,
            direction: direction.try_normalize(1e-9).unwrap_or_default(),
            speed_mm_s: search_speed(run, routine, i),
        })
    };
    run.routine.steps.iter().filter_map(of).collect()
}

/// The speed of the search of step `i`, mm/s: by the last *sensing on* before it, as that was when it
/// was done.
fn search_speed(run: &RunFacts, routine: &Routine, i: usize) -> f64 {
    let on = routine.steps[..i]
        .iter()
        .rfind(|s| matches!(s.instruction, Instruction::SensingOn { .. }))
        .and_then(|on| {
            let done = run.routine_for(on.id);
            Some(&done.steps[done.index_of(on.id)?].instruction)
        });
    match on {
        Some(Instruction::SensingOn { speed_mm_s, .. }) => *speed_mm_s,
        _ => DEFAULT_SENSING_SPEED_MM_S,
    }
}

/// Whether two routines move the torch in the same way; names, ids and reach may differ.
pub(super) fn same_moves(a: &Routine, b: &Routine) -> bool {
    if std::ptr::eq(a, b) {
        return true;
    }
    let (a, b) = (moves(a), moves(b));
    let near = |a: &Option<Point3<f64>>, b: &Option<Point3<f64>>| match (a, b) {
        (Some(a), Some(b)) => (a - b).norm() < SAME_MM,
        (a, b) => a == b,
    };
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| a.0 == b.0 && near(&a.1, &b.1))
}

fn moves(routine: &Routine) -> Vec<(Instruction, Option<Point3<f64>>)> {
    let nameless = |act: &Instruction| {
        let mut act = act.clone();
        if let Instruction::Feel { face, .. } = &mut act {
            face.clear();
        }
        if let Instruction::SensingOn { reach_mm, .. } = &mut act {
            *reach_mm = 0.0;
        }
        if let Some(name) = act.point_mut() {
            let home = name == HOME;
            name.clear();
            if home {
                name.push_str(HOME);
            }
        }
        act
    };
    let at = |act: &Instruction| act.point().and_then(|p| routine.point(p)).map(|p| p.at);
    routine.steps.iter().map(|s| (nameless(&s.instruction), at(&s.instruction))).collect()
}
