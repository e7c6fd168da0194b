//! Makes one mistake in a routine or session that is otherwise right. Lessons may start with one, and
//! the proof of a lesson checks that the coach finds each mistake the lesson is about.

use super::model::model_routine;
use super::scripted_action::ScriptedAction;
use super::solve;
use super::variant::Variant;
use crate::cell::{Fault, Part, edge_met};
use crate::coach::RuleName;
use crate::geometry::{Point3, Pose, PoseFile, Vector3};
use crate::locate::Freedoms;
use crate::routine::{Instruction, PART_PLACE, Routine, RunSpeed, Step, StepKind};
use crate::session::{Action, Session};

/// For `short-baseline`: the distance of two touches is cut to this share of what it was, within these
/// limits, mm. The weld then scatters beyond its tolerance, but the torch hardly ever strikes the plate.
const SHORT: f64 = 0.13;
const SHORT_MM: std::ops::RangeInclusive<f64> = 24.0..=39.0;

/// Breaks this rule in a routine; false if the rule is not about routines, or cannot be broken here.
pub(super) fn in_routine(rule: RuleName, part: &Part, routine: &mut Routine) -> bool {
    match rule {
        RuleName::NoHomeStart => drop_first(routine, StepKind::Home),
        RuleName::NoHomeEnd => routine.steps.pop().is_some(),
        RuleName::HomeFollowsPart => stop_to(routine, |r| r.steps.len()),
        RuleName::FollowNeverStopped => drop_first(routine, StepKind::StopFollowing),
        RuleName::SeamNotFollowed => {
            stop_to(routine, |r| find(r, StepKind::WeldStart).unwrap_or(0))
        }
        RuleName::FeelWithoutSensing => drop_first(routine, StepKind::SensingOn),
        RuleName::SensingOnWhileWelding => drop_first(routine, StepKind::SensingOff),
        RuleName::TouchesNeverUsed => drop_last(routine, StepKind::Find),
        RuleName::FollowBeforeFound => follow_before(routine, StepKind::Find),
        RuleName::FeelFollowsPart => follow_before(routine, StepKind::Feel),
        RuleName::WrongPlaceFollowed => change(routine, StepKind::Follow, |step| {
            *step = Instruction::Follow { place: "left-end".into() };
        }),
        RuleName::UntrimmedWire => drop_first(routine, StepKind::TrimWire),
        RuleName::NoClearMove => drop_first(routine, StepKind::Via),
        RuleName::NoApproach => drop_first(routine, StepKind::Approach),
        RuleName::NoRetreat => drop_first(routine, StepKind::Retreat),
        RuleName::WeldNotClosed => drop_first(routine, StepKind::WeldEnd),
        // The height is neither touched nor solved for.
        RuleName::FreedomsTooFew if may(routine).is_some_and(|may| !may.is_planar()) => {
            while let Some(i) = feels(routine).into_iter().find(|i| down(routine, *i)) {
                routine.steps.remove(i);
            }
            set_may(routine, |_| Freedoms::PLAN)
        }
        RuleName::FreedomsTooFew => set_may(routine, |may| {
            if may == Freedoms::SLIDE_XY { Freedoms::X } else { Freedoms::SLIDE_XY }
        }),
        RuleName::FreedomsTooMany => set_may(routine, |_| Freedoms::SIX),
        RuleName::FeelTooFast => set_sensing(routine, |speed_mm_s, _| *speed_mm_s = 100.0),
        RuleName::SearchNotSquare => {
            let slant = Pose::planar(0.0, 0.0, 25.0_f64.to_radians());
            turn_search(routine, |d| slant.vector(&d))
        }
        // Above it: the wire leans, and passes the seam.
        RuleName::WeldPointOffSeam => find(routine, StepKind::WeldEnd)
            .is_some_and(|end| move_point(routine, end, |p| p + Vector3::z() * 3.0)),
        RuleName::ReachTooShort => set_sensing(routine, |_, reach_mm| *reach_mm = 17.0),
        RuleName::TooFewTouches => {
            let needed = may(routine).map_or(0, Freedoms::count);
            let mut dropped = false;
            while feels(routine).len() >= needed.max(2) {
                let Some(last) = feels(routine).pop() else { break };
                routine.steps.remove(last);
                dropped = true;
            }
            dropped
        }
        RuleName::OneSidedTouches => one_sided(part, routine),
        RuleName::ShortBaseline => {
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
        RuleName::SearchMissesFace => turn_search(routine, |d| -d),
        RuleName::StartTooClose => {
            let Some((i, d)) = level(routine) else { return false };
            move_point(routine, i, |p| p + d * 14.0)
        }
        RuleName::TouchHeight => {
            let Some((i, _)) = level(routine) else { return false };
            let top = part.bodies.iter().map(|b| b.z[1]).fold(0.0, f64::max);
            move_point(routine, i, |p| Point3::new(p.x, p.y, top + 4.0))
        }
        RuleName::TouchNearCorner => to_the_corner(part, routine),
        RuleName::DatumNotOfTheSeam => other_datum(part, routine),
        _ => false,
    }
}

/// Takes the ticks for slides away that no touch sees.
pub(super) fn untick_unseen(routine: &mut Routine) {
    let searches: Vec<_> = feels(routine).into_iter().filter_map(|i| feel(routine, i)).collect();
    let sees = |axis: usize| searches.iter().any(|(d, _)| d[axis].abs() > 0.5);
    let slides = [Freedoms::X, Freedoms::Y, Freedoms::HEIGHT];
    let unseen = (0..3).filter(|axis| !sees(*axis)).map(|axis| slides[axis]);
    let unseen = unseen.fold(Freedoms::default(), |all, one| all | one);
    set_may(routine, |may| may - unseen);
}

/// A session with the whole job done on this attempt's part, and this one mistake. `None` if the
/// mistake cannot be made on this part.
pub(super) fn in_session(rule: RuleName, start: &Session, v: &Variant) -> Option<Session> {
    use ScriptedAction::{DryRun, Nudge, ProductionRun, ProofRun, PutBack, ReferenceRun, TrialRun};
    let mut routine = v.model.clone();
    let of_routine = in_routine(rule, &v.part, &mut routine);
    if rule == RuleName::OffsetBeyondPlay {
        // So that the searches still meet their faces.
        set_sensing(&mut routine, |_, reach_mm| *reach_mm = 45.0);
    }
    let mut s = start.replayed([Action::LoadRoutine { routine }]).ok()?;
    let run = |speed, arc| Action::Run { speed, arc, steps: None };
    // Scripted actions, then plain ones, then scripted ones.
    let (before, between, after): (&[ScriptedAction], Vec<Action>, &[ScriptedAction]) = match rule {
        // The arc of the first part is felt on the second.
        RuleName::UntrimmedWire => {
            (&[ReferenceRun, ProofRun, Nudge, DryRun, ProductionRun, ProductionRun], vec![], &[])
        }
        _ if of_routine => (&[ReferenceRun, ProofRun, Nudge, DryRun, ProductionRun], vec![], &[]),
        RuleName::NoReferenceRun => (&[Nudge, ProductionRun], vec![], &[]),
        RuleName::NoProofRun => (&[ReferenceRun, Nudge, DryRun, ProductionRun], vec![], &[]),
        RuleName::ArcOnFirstMovedPart => {
            (&[ReferenceRun, ProofRun, Nudge, ProductionRun], vec![], &[])
        }
        RuleName::EnteredLiveCell => {
            (&[ReferenceRun, ProofRun], vec![v.nudge.action()], &[DryRun, ProductionRun])
        }
        RuleName::ReferenceFlagLeftOn => (&[ReferenceRun, TrialRun, Nudge, TrialRun], vec![], &[]),
        RuleName::ReferenceRetakenOnMovedPart => {
            (&[ReferenceRun, ProofRun, Nudge, ReferenceRun, ProductionRun], vec![], &[])
        }
        RuleName::ReferenceAwayFromTaught => {
            (&[Nudge, ReferenceRun, PutBack, ProductionRun], vec![], &[])
        }
        RuleName::FirstRunTooFast => (
            &[ScriptedAction::FlagOn],
            vec![run(RunSpeed::Full, false)],
            &[ProofRun, Nudge, DryRun, ProductionRun],
        ),
        RuleName::ArcInTrial => (
            &[ScriptedAction::FlagOn],
            vec![run(RunSpeed::Reduced, true)],
            &[ProofRun, Nudge, DryRun, ProductionRun],
        ),
        // Another length is felt only from above.
        RuleName::StickOutChanged if feels(&v.model).iter().any(|i| down(&v.model, *i)) => (
            &[ReferenceRun, ProofRun, Nudge, DryRun],
            s.state().by_hand([Action::CutWire {
                stick_out_mm: start.header().settings.stick_out_mm - 2.0,
            }]),
            &[ProductionRun],
        ),
        RuleName::WireBentAndUsed => (
            &[ReferenceRun, ProofRun, Nudge, DryRun],
            vec![Action::Plant { fault: Fault::WireBent { bend: Vector3::new(1.2, 0.8, 0.0) } }],
            &[ProductionRun],
        ),
        RuleName::PartMovedMidRun => {
            let slip = PoseFile { dx: 2.0, dy: 1.5, ..PoseFile::default() };
            let fault = Fault::PartSlipsMidRun { slip };
            (
                &[ReferenceRun, ProofRun, Nudge, DryRun],
                vec![Action::Plant { fault }],
                &[ProductionRun],
            )
        }
        RuleName::FeelEditedAfterReference => {
            let mut routine = v.model.clone();
            set_sensing(&mut routine, |speed_mm_s, _| *speed_mm_s = 60.0);
            let on = find(&routine, StepKind::SensingOn)?;
            let Step { id, instruction } = routine.steps.swap_remove(on);
            let edit = Action::ChangeStep { id, step: instruction };
            (&[ReferenceRun, ProofRun], vec![edit], &[Nudge, DryRun, ProductionRun])
        }
        RuleName::OffsetBeyondPlay => {
            // A slide without a turn is too far at every point of the part.
            let (n, p) = (v.nudge.part, v.part.play);
            let too_far =
                |v: f64, limit: f64| if limit > 0.0 { (limit + 3.0).copysign(v) } else { 0.0 };
            let (dx, dy) = (too_far(n.dx, p.dx), too_far(n.dy, p.dy));
            let part = PoseFile { dx, dy, ..PoseFile::default() };
            let place = s.state().by_hand([Action::place_part(part)]);
            (&[ReferenceRun, ProofRun], place, &[DryRun, ProductionRun])
        }
        RuleName::DisagreementIgnored => {
            let fault = Fault::OutOfSquare { lean_deg: 1.2 };
            (
                &[ReferenceRun, ProofRun, Nudge, DryRun],
                vec![Action::Plant { fault }],
                &[ProductionRun],
            )
        }
        RuleName::NoTouchIgnored => {
            let (_, d) = level(&v.model)?;
            let away = PoseFile { dx: d.x * 28.0, dy: d.y * 28.0, ..PoseFile::default() };
            (
                &[ReferenceRun, ProofRun],
                s.state().by_hand([Action::place_part(away)]),
                &[TrialRun, TrialRun, TrialRun],
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

fn drop_last(routine: &mut Routine, kind: StepKind) -> bool {
    let last = (0..routine.steps.len()).rfind(|i| routine.kind(*i) == Some(kind));
    last.map(|i| routine.steps.remove(i)).is_some()
}

/// Moves *stop following* to index `to`, which is found after the step is taken out.
fn stop_to(routine: &mut Routine, to: impl Fn(&Routine) -> usize) -> bool {
    let Some(i) = find(routine, StepKind::StopFollowing) else { return false };
    let step: Step = routine.steps.remove(i);
    let to = to(routine);
    routine.steps.insert(to, step);
    true
}

/// Moves *follow* up to just before the first step of this kind.
fn follow_before(routine: &mut Routine, kind: StepKind) -> bool {
    let (Some(follow), Some(to)) = (find(routine, StepKind::Follow), find(routine, kind)) else {
        return false;
    };
    let step = routine.steps.remove(follow);
    routine.steps.insert(to, step);
    true
}

fn change(routine: &mut Routine, kind: StepKind, f: impl Fn(&mut Instruction)) -> bool {
    find(routine, kind).map(|i| f(&mut routine.steps[i].instruction)).is_some()
}

/// What the part may have done, by the first find.
fn may(routine: &Routine) -> Option<Freedoms> {
    match &routine.steps[find(routine, StepKind::Find)?].instruction {
        Instruction::Find { may, .. } => Some(*may),
        _ => None,
    }
}

fn set_may(routine: &mut Routine, to: impl Fn(Freedoms) -> Freedoms) -> bool {
    change(routine, StepKind::Find, |step| {
        if let Instruction::Find { may, .. } = step {
            *may = to(*may);
        }
    })
}

/// Changes speed, mm/s, and reach, mm, of the searches.
fn set_sensing(routine: &mut Routine, f: impl Fn(&mut f64, &mut f64)) -> bool {
    change(routine, StepKind::SensingOn, |step| {
        if let Instruction::SensingOn { speed_mm_s, reach_mm } = step {
            f(speed_mm_s, reach_mm);
        }
    })
}

fn feels(routine: &Routine) -> Vec<usize> {
    (0..routine.steps.len()).filter(|i| feel(routine, *i).is_some()).collect()
}

/// Search direction and face of a feel.
fn feel(routine: &Routine, i: usize) -> Option<(Vector3<f64>, &str)> {
    match &routine.steps.get(i)?.instruction {
        Instruction::Feel { direction, face, .. } => Some((*direction, face)),
        _ => None,
    }
}

/// Whether a step searches from above.
fn down(routine: &Routine, i: usize) -> bool {
    feel(routine, i).is_some_and(|(d, _)| d.z < -0.5)
}

/// Step indices of consecutive level touches on one face, in pairs.
fn pairs(routine: &Routine) -> Vec<(usize, usize)> {
    let all = feels(routine);
    let face = |i: usize| feel(routine, i).map(|(_, f)| f.to_owned());
    let level = |i: usize| feel(routine, i).is_some_and(|(d, _)| d.z.abs() < 0.5);
    let same = |w: &&[usize]| level(w[0]) && face(w[0]) == face(w[1]);
    all.windows(2).filter(same).map(|w| (w[0], w[1])).collect()
}

/// Step index and direction of the first level search.
fn level(routine: &Routine) -> Option<(usize, Vector3<f64>)> {
    let all = feels(routine).into_iter();
    all.filter_map(|i| feel(routine, i).map(|(d, _)| (i, d))).find(|(_, d)| d.z.abs() < 0.5)
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

fn turn_search(routine: &mut Routine, f: impl Fn(Vector3<f64>) -> Vector3<f64>) -> bool {
    let Some((i, _)) = level(routine) else { return false };
    if let Instruction::Feel { direction, .. } = &mut routine.steps[i].instruction {
        *direction = f(*direction);
    }
    true
}

/// How far in front of a face a search starts, mm.
const IN_FRONT_MM: f64 = 16.0;

/// How near to a corner a touch is that a part within its play may take away, mm.
const NEAR_CORNER_MM: f64 = 2.0;

/// Moves the first level touch along its face to the nearer corner.
fn to_the_corner(part: &Part, routine: &mut Routine) -> bool {
    let Some((i, d)) = level(routine) else { return false };
    let met = at(routine, i).and_then(|from| edge_met(part, &from, &d));
    let Some(met) = met else { return false };
    let Some([a, b]) = part.body(&met.body).and_then(|b| b.edge(met.edge)) else { return false };
    let [back, on] = [-met.along_mm, met.length_mm - met.along_mm];
    let by = if -back < on { back + NEAR_CORNER_MM } else { on - NEAR_CORNER_MM };
    let along = (b - a).normalize() * by;
    move_point(routine, i, |p| p + Vector3::new(along.x, along.y, 0.0))
}

/// Locates a weld by something else than the body that carries its seam. Where that has a place of its own,
/// the last such weld rides with the whole part; else the touches go to the body below.
fn other_datum(part: &Part, routine: &mut Routine) -> bool {
    let fine = part.fine_places();
    let rides = |s: &&mut Step| matches!(&s.instruction, Instruction::Follow { place } if fine.contains(&place.as_str()));
    if let Some(last) = routine.steps.iter_mut().rev().find(rides) {
        last.instruction = Instruction::Follow { place: PART_PLACE.into() };
        return true;
    }
    let Some(base) = part.bodies.iter().find(|body| body.play.is_none()) else { return false };
    let mut elsewhere = part.clone();
    let mut moved = false;
    for t in &mut elsewhere.model_touches {
        let d = Vector3::from(t.direction);
        let met = edge_met(part, &t.from, &d).and_then(|met| part.body(&met.body));
        if met.is_none_or(|body| body.play.is_none()) {
            continue;
        }
        let gap = (base.outline.corners.iter())
            .map(|c| (c.at - t.from.xy()).dot(&d.xy()) - IN_FRONT_MM)
            .fold(f64::INFINITY, f64::min);
        t.from += d * gap;
        t.from.z = f64::midpoint(base.z[0], base.z[1]);
        moved = true;
    }
    // The whole way there, not the touches alone.
    let there = model_routine(&elsewhere);
    let found = find(routine, StepKind::Find).unwrap_or(0);
    for i in 0..found {
        let at = routine.steps[i].instruction.point().and_then(|name| there.point(name));
        if let Some(at) = at.map(|p| p.at) {
            move_point(routine, i, |_| at);
        }
    }
    moved
}

/// Moves every level touch to the first face, side by side.
fn one_sided(part: &Part, routine: &mut Routine) -> bool {
    let Some((first, d)) = level(routine) else { return false };
    let (Some(near), Some((_, face))) = (at(routine, first), feel(routine, first)) else {
        return false;
    };
    let face = face.to_owned();
    let along = Vector3::z().cross(&d);
    let about = Point3::from(part.play.about);
    let sign = if (about - near).dot(&along) > 0.0 { 1.0 } else { -1.0 };
    let others: Vec<usize> = feels(routine)
        .into_iter()
        .filter(|i| feel(routine, *i).is_some_and(|(o, f)| f != face && o.z.abs() < 0.5))
        .collect();
    for (n, i) in others.iter().enumerate() {
        move_point(routine, *i, |_| near + along * (sign * 25.0 * (n + 1) as f64));
        if let Instruction::Feel { direction, face: label, .. } = &mut routine.steps[*i].instruction
        {
            *direction = d;
            label.clone_from(&face);
        }
    }
    !others.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coach::{RULES, review};
    use crate::lesson::lesson;

    #[test]
    fn the_coach_sees_every_mistake_that_can_be_made() {
        // Without and with a search from above.
        let lessons = ["slide-and-turn", "heights"].map(|name| lesson(name).expect("it is there"));
        let (mut unseen, mut never) = (Vec::new(), Vec::new());
        for rule in RULES.iter().map(|r| r.name) {
            let make = |l: &crate::lesson::Lesson| in_session(rule, &l.start, &l.variant);
            let made: Vec<_> = lessons.into_iter().filter_map(make).collect();
            let seen = |s: &Session| review(s).findings.iter().any(|f| f.rule == rule);
            if made.is_empty() {
                never.push(rule);
            } else if !made.iter().all(seen) {
                unseen.push(rule);
            }
        }
        assert!(unseen.is_empty(), "made, and not seen: {unseen:?}");
        // They take another part, its way about a clamp, a fault at the right moment or a point taught by
        // hand; what no rule explains is no mistake of a kind.
        assert_eq!(
            never,
            [
                RuleName::ForecastOutsideTolerance,
                RuleName::DatumNotOfTheSeam,
                RuleName::WayBlockedAtLimit,
                RuleName::ProofOffsetIgnored,
                RuleName::PointCorrectedOnMovedPart,
                RuleName::UnexplainedMiss
            ],
            "cannot be made"
        );
    }
}
