//! Makes one mistake in a routine or session that is otherwise right. Lessons may start with one, and
//! the proof of a lesson checks that the coach finds each mistake the lesson is about.

use super::scripted_action::ScriptedAction;
use super::solve;
use super::variant::Variant;
use crate::cell::{Fault, Part};
use crate::geometry::{Point3, PoseFile, Vector3};
use crate::locate::Freedoms;
use crate::routine::{Corner, Instruction, ProbePlan, Routine, RunSpeed, Step, StepKind};
use crate::session::{Action, Session};

/// For `short-baseline`: the distance of two touches is cut to this share of what it was, within these
/// limits, mm. The weld then misses by millimetres, but the torch hardly ever hits the part.
const SHORT: f64 = 0.1;
const SHORT_MM: std::ops::RangeInclusive<f64> = 12.0..=30.0;

/// Breaks this rule in a routine; false if the rule is not about routines, or cannot be broken here.
pub(super) fn in_routine(rule: &str, part: &Part, routine: &mut Routine) -> bool {
    match rule {
        "no-home-start" => drop_first(routine, StepKind::Home),
        "no-home-end" => routine.steps.pop().is_some(),
        "home-follows-part" => stop_to(routine, |r| r.steps.len()),
        "follow-never-stopped" => drop_first(routine, StepKind::StopFollowing),
        "seam-not-followed" => stop_to(routine, |r| find(r, StepKind::WeldEnd).unwrap_or(0)),
        "probing-never-finished" => drop_first(routine, StepKind::FinishProbing),
        "probe-outside-probing" => drop_first(routine, StepKind::BeginProbing),
        "follow-before-found" => {
            let (Some(follow), Some(begin)) =
                (find(routine, StepKind::Follow), find(routine, StepKind::FinishProbing))
            else {
                return false;
            };
            let step = routine.steps.remove(follow);
            routine.steps.insert(begin, step);
            true
        }
        "wrong-offset-followed" => change(routine, StepKind::Follow, |act| {
            *act = Instruction::Follow { offset: "B".into() };
        }),
        "no-arrival" => drop_first(routine, StepKind::Arrival),
        "arrival-blends" => change(routine, StepKind::Arrival, |act| {
            if let Instruction::Move { corner, .. } = act {
                *corner = Corner::Blend(15.0);
            }
        }),
        "no-clear-move" => drop_first(routine, StepKind::Via),
        "no-approach" => drop_first(routine, StepKind::Approach),
        "no-retreat" => drop_first(routine, StepKind::Retreat),
        "weld-not-closed" => drop_first(routine, StepKind::WeldEnd),
        // The height is neither touched nor solved for.
        "freedoms-too-few" if routine.plans.first().is_some_and(|p| !p.freedoms.is_planar()) => {
            let down = |r: &Routine, i: usize| probe(r, i).is_some_and(|(d, _)| d.z.abs() > 0.5);
            while let Some(i) = probes(routine).into_iter().find(|i| down(routine, *i)) {
                routine.steps.drain(i - 1..=i);
            }
            plan(routine, |p| p.freedoms = Freedoms::PLAN)
        }
        "freedoms-too-few" => plan(routine, |p| {
            p.freedoms =
                if p.freedoms == Freedoms::SLIDE_XY { Freedoms::X } else { Freedoms::SLIDE_XY };
        }),
        "freedoms-too-many" => plan(routine, |p| p.freedoms = Freedoms::SIX),
        "reach-too-short" => plan(routine, |p| p.reach_mm = 17.0),
        "too-few-touches" => {
            let needed = routine.plans.first().map_or(0, |p| p.freedoms.count());
            let mut dropped = false;
            while probes(routine).len() >= needed.max(2) {
                let Some(last) = probes(routine).pop() else { break };
                routine.steps.drain(last - 1..=last);
                dropped = true;
            }
            dropped
        }
        "one-sided-touches" => one_sided(part, routine),
        "short-baseline" => {
            let mut moved = false;
            for (a, b) in pairs(routine) {
                let Some(p) = at(routine, a) else { continue };
                moved |= move_point(routine, b, |q| {
                    let apart = ((q - p).norm() * SHORT).clamp(*SHORT_MM.start(), *SHORT_MM.end());
                    p + (q - p).normalize() * apart
                });
            }
            moved
        }
        "probe-misses-face" => turn_probe(routine, |d| -d),
        "start-too-close" => {
            let Some((i, d)) = level(routine) else { return false };
            move_point(routine, i, |p| p + d * 14.0)
        }
        "touch-too-high" => {
            let Some((i, _)) = level(routine) else { return false };
            let top = part.bodies.iter().map(|b| b.z[1]).fold(0.0, f64::max);
            move_point(routine, i, |p| Point3::new(p.x, p.y, top + 4.0))
        }
        _ => false,
    }
}

/// A session with the whole job done on this attempt's part, and this one mistake. `None` if the
/// mistake cannot be made on this part.
pub(super) fn in_session(rule: &str, start: &Session, v: &Variant) -> Option<Session> {
    use ScriptedAction::{
        FlagOff, Nudge, ProductionRun, ProofRun, PutBack, ReferenceRun, TrialRun,
    };
    let mut routine = v.model.clone();
    let of_routine = in_routine(rule, &v.part, &mut routine);
    let mut s = start.replayed([Action::LoadRoutine { routine }]).ok()?;
    let run = |speed, arc| Action::Run { speed, arc, steps: None };
    // Scripted actions, then plain ones, then scripted ones.
    let (before, between, after): (&[ScriptedAction], Vec<Action>, &[ScriptedAction]) = match rule {
        _ if of_routine => (&[ReferenceRun, ProofRun, Nudge, ProductionRun], vec![], &[]),
        "no-reference-run" => (&[Nudge, ProductionRun], vec![], &[]),
        "no-proof-run" => (&[ReferenceRun, Nudge, ProductionRun], vec![], &[]),
        "reference-flag-left-on" => (&[ReferenceRun, TrialRun, Nudge, TrialRun], vec![], &[]),
        "reference-retaken-on-moved-part" => {
            (&[ReferenceRun, ProofRun, Nudge, ReferenceRun, ProductionRun], vec![], &[])
        }
        "reference-away-from-taught" => {
            (&[Nudge, ReferenceRun, PutBack, ProductionRun], vec![], &[])
        }
        "first-run-too-fast" => (
            &[ScriptedAction::FlagOn],
            vec![run(RunSpeed::Full, false)],
            &[ProofRun, Nudge, ProductionRun],
        ),
        "arc-in-trial" => (
            &[ScriptedAction::FlagOn],
            vec![run(RunSpeed::Reduced, true)],
            &[ProofRun, Nudge, ProductionRun],
        ),
        "stick-out-changed" => (
            &[ReferenceRun, ProofRun, Nudge],
            vec![Action::CutWire { stick_out_mm: start.header().settings.stick_out_mm - 2.0 }],
            &[ProductionRun],
        ),
        "wire-bent-and-used" => (
            &[ReferenceRun, ProofRun, Nudge],
            vec![Action::Plant { fault: Fault::WireBent { bend: Vector3::new(1.2, 0.8, 0.0) } }],
            &[ProductionRun],
        ),
        "part-moved-mid-run" => {
            let slip = PoseFile { dx: 2.0, dy: 1.5, ..PoseFile::default() };
            let fault = Fault::PartSlipsMidRun { slip };
            (&[ReferenceRun, ProofRun, Nudge], vec![Action::Plant { fault }], &[ProductionRun])
        }
        "probe-edited-after-reference" => {
            let plan = v.model.plans.first()?;
            let plan = ProbePlan { speed_mm_s: 60.0, reference: false, ..plan.clone() };
            (
                &[ReferenceRun, ProofRun, FlagOff],
                vec![Action::SetPlan { plan }],
                &[Nudge, ProductionRun],
            )
        }
        "offset-beyond-limit" => {
            // A slide without a turn is too far at every point of the part.
            let (n, p) = (v.nudge, v.part.play);
            let too_far =
                |v: f64, limit: f64| if limit > 0.0 { (limit + 3.0).copysign(v) } else { 0.0 };
            let (dx, dy) = (too_far(n.dx, p.dx), too_far(n.dy, p.dy));
            let part = PoseFile { dx, dy, ..PoseFile::default() };
            let plan = v.model.plans.first()?;
            let plan = ProbePlan { reach_mm: 45.0, reference: false, ..plan.clone() };
            s.act(Action::SetPlan { plan }).ok()?;
            (&[ReferenceRun, ProofRun], vec![Action::PlacePart { part }], &[ProductionRun])
        }
        "residual-ignored" => {
            let fault = Fault::OutOfSquare { lean_deg: 1.2 };
            (&[ReferenceRun, ProofRun, Nudge], vec![Action::Plant { fault }], &[ProductionRun])
        }
        "no-touch-ignored" => {
            let (_, d) = level(&v.model)?;
            let away = PoseFile { dx: d.x * 28.0, dy: d.y * 28.0, ..PoseFile::default() };
            (
                &[ReferenceRun, ProofRun],
                vec![Action::PlacePart { part: away }],
                &[TrialRun, TrialRun],
            )
        }
        _ => return None,
    };
    solve::play(&mut s, before, v, None).ok()?;
    for action in between {
        s.act(action).ok()?;
    }
    solve::play(&mut s, after, v, None).ok()?;
    Some(s)
}

fn find(routine: &Routine, kind: StepKind) -> Option<usize> {
    (0..routine.steps.len()).find(|i| routine.kind(*i) == Some(kind))
}

fn drop_first(routine: &mut Routine, kind: StepKind) -> bool {
    find(routine, kind).map(|i| routine.steps.remove(i)).is_some()
}

/// Moves *stop following* to index `to`, which is found after the step is taken out.
fn stop_to(routine: &mut Routine, to: impl Fn(&Routine) -> usize) -> bool {
    let Some(i) = find(routine, StepKind::StopFollowing) else { return false };
    let step: Step = routine.steps.remove(i);
    let to = to(routine);
    routine.steps.insert(to, step);
    true
}

fn change(routine: &mut Routine, kind: StepKind, f: impl Fn(&mut Instruction)) -> bool {
    find(routine, kind).map(|i| f(&mut routine.steps[i].instruction)).is_some()
}

fn plan(routine: &mut Routine, f: impl Fn(&mut ProbePlan)) -> bool {
    routine.plans.first_mut().map(f).is_some()
}

fn probes(routine: &Routine) -> Vec<usize> {
    let probe = |i: &usize| matches!(routine.steps[*i].instruction, Instruction::Probe { .. });
    (0..routine.steps.len()).filter(probe).collect()
}

fn probe(routine: &Routine, i: usize) -> Option<(Vector3<f64>, &str)> {
    match &routine.steps.get(i)?.instruction {
        Instruction::Probe { direction, face, .. } => Some((*direction, face)),
        _ => None,
    }
}

/// Step indices of consecutive level touches on one face, in pairs.
fn pairs(routine: &Routine) -> Vec<(usize, usize)> {
    let all = probes(routine);
    let face = |i: usize| probe(routine, i).map(|(_, f)| f.to_owned());
    let level = |i: usize| probe(routine, i).is_some_and(|(d, _)| d.z.abs() < 0.5);
    let same = |w: &&[usize]| level(w[0]) && face(w[0]) == face(w[1]);
    all.windows(2).filter(same).map(|w| (w[0], w[1])).collect()
}

/// Step index and direction of the first level search.
fn level(routine: &Routine) -> Option<(usize, Vector3<f64>)> {
    let all = probes(routine).into_iter();
    all.filter_map(|i| probe(routine, i).map(|(d, _)| (i, d))).find(|(_, d)| d.z.abs() < 0.5)
}

fn at(routine: &Routine, step: usize) -> Option<Point3<f64>> {
    let name = routine.steps.get(step)?.instruction.point()?;
    routine.point(name).map(|p| p.at)
}

fn move_point(routine: &mut Routine, step: usize, to: impl Fn(Point3<f64>) -> Point3<f64>) -> bool {
    let Some(name) = routine.steps.get(step).and_then(|s| s.instruction.point()).map(str::to_owned)
    else {
        return false;
    };
    let point = routine.points.iter_mut().find(|p| p.name == name);
    point.map(|p| p.at = to(p.at)).is_some()
}

fn turn_probe(routine: &mut Routine, f: impl Fn(Vector3<f64>) -> Vector3<f64>) -> bool {
    let Some((i, _)) = level(routine) else { return false };
    if let Instruction::Probe { direction, .. } = &mut routine.steps[i].instruction {
        *direction = f(*direction);
    }
    true
}

/// Moves every level touch to the first face, side by side.
fn one_sided(part: &Part, routine: &mut Routine) -> bool {
    let Some((first, d)) = level(routine) else { return false };
    let (Some(near), Some((_, face))) = (at(routine, first), probe(routine, first)) else {
        return false;
    };
    let face = face.to_owned();
    let along = Vector3::z().cross(&d);
    let about = Point3::from(part.play.about);
    let sign = if (about - near).dot(&along) > 0.0 { 1.0 } else { -1.0 };
    let others: Vec<usize> = probes(routine)
        .into_iter()
        .filter(|i| probe(routine, *i).is_some_and(|(o, f)| f != face && o.z.abs() < 0.5))
        .collect();
    for (n, i) in others.iter().enumerate() {
        move_point(routine, *i, |_| near + along * (sign * 25.0 * (n + 1) as f64));
        if let Instruction::Probe { direction, face: label, .. } =
            &mut routine.steps[*i].instruction
        {
            *direction = d;
            label.clone_from(&face);
        }
    }
    !others.is_empty()
}
