//! What the page shows of a run, and of the cell, at one moment. Times are in s from the start of
//! the run; points and poses are in the work frame, mm.

use super::number::length;
use super::playback::Playback;
use crate::app::i18n::{Key, format, say};
use nudgeproof::cell::{OwnMotions, Part, STANDOFF_MM, Wire};
use nudgeproof::coach::{self, RuleName};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::routine::{
    EventKind, Instruction, Routine, RunEnd, RunLog, Search, Solution, SolutionOutcome, WeldTrace,
};
use nudgeproof::session::{RunContext, State};
use std::sync::Arc;

/// Where the part lay at time `t` of a run.
pub(crate) fn part_at(log: &RunLog, t: f64) -> Pose {
    let moved = log.events.iter().find(|e| matches!(e.what, EventKind::PartMoved));
    if moved.is_some_and(|e| t >= e.time) { log.part_at_end } else { log.part }
}

/// Where bodies that move by themselves may be shown to lie on the part: in the run on show, if one
/// is, or else now.
pub(crate) fn own_motions(state: &State, run: Option<usize>) -> Arc<OwnMotions> {
    match run.and_then(|run| state.run_contexts.get(run)) {
        Some(run) if run.believed.is_some() => Arc::default(),
        Some(run) => run.own_motions.clone(),
        None => Arc::new(state.own_motions_shown().clone()),
    }
}

/// Whether two poses of a part differ by more than rounding.
pub(crate) fn differ(a: &Pose, b: &Pose) -> bool {
    let moved = a.inverse() * *b;
    moved.translation().norm() > 1e-6 || moved.angle() > 1e-9
}

/// Height of the lowest underside of a part, mm, part frame. Bodies that begin higher are upright
/// plates.
pub(crate) fn lowest(part: &Part) -> f64 {
    part.bodies.iter().map(|b| b.z[0]).fold(f64::MAX, f64::min)
}

/// The runs as the learner may see them: of a run with something concealed, only what does not
/// reveal it.
pub(crate) fn runs(state: &State) -> Vec<Arc<RunLog>> {
    let each = state.runs.iter().zip(&state.run_contexts);
    each.map(|(log, run)| {
        run.believed.map_or_else(|| log.clone(), |pose| without_secrets(log, pose, run, state))
    })
    .collect()
}

fn without_secrets(
    log: &Arc<RunLog>,
    believed: Pose,
    run: &RunContext,
    state: &State,
) -> Arc<RunLog> {
    let mut log = RunLog::clone(log);
    log.part = believed;
    log.part_at_end = believed;
    log.events.retain(|e| !matches!(e.what, EventKind::PartMoved));
    run.hide_planted_wire(&mut log, &[], state.settings.stick_out_mm);
    log.welds.iter_mut().for_each(as_the_eye_sees_it);
    Arc::new(log)
}

/// Nobody measures a bead to a hundredth: how far it lies beside the seam, to a whole millimetre.
fn as_the_eye_sees_it(weld: &mut WeldTrace) {
    let landed = weld.landed;
    let seen = |mm: f64| if landed { 0.0 } else { mm.round() };
    for miss in &mut weld.miss {
        miss.across_mm = seen(miss.across_mm);
        miss.standoff_mm = seen(miss.standoff_mm);
        miss.height_mm = seen(miss.height_mm);
    }
    weld.worst_mm =
        if landed { 0.0 } else { weld.worst_mm.signum() * weld.worst_mm.abs().round().max(1.0) };
}

/// Whether the coach may report findings of this rule now. That a weld missed, and by how much, is what
/// a drill asks about.
pub(crate) fn may_tell(state: &State, rule: RuleName) -> bool {
    let reveals = coach::rule(rule).traits.reveals || rule == RuleName::UnexplainedMiss;
    !(state.concealed() && reveals)
}

/// Number of legs of a run that are over at time `t`.
pub(crate) fn legs_over(log: &RunLog, t: f64) -> usize {
    log.legs.iter().take_while(|l| l.time[1] <= t + 1e-9).count()
}

/// The searches that had ended by time `t`.
pub(crate) fn searches_until(log: &RunLog, t: f64) -> impl Iterator<Item = (usize, &Search)> {
    log.searches.iter().enumerate().filter(move |(_, s)| s.time <= t + 1e-9)
}

/// The last offset that a run had found by time `t`: of which place, and its motion since the
/// reference, work frame, mm and radians.
pub(crate) fn found_offset(log: &RunLog, t: f64) -> Option<(&Solution, Pose)> {
    found_offsets(log, t).next()
}

/// Every offset that a run had found by time `t`, the last first.
pub(crate) fn found_offsets(log: &RunLog, t: f64) -> impl Iterator<Item = (&Solution, Pose)> {
    let until = move |s: &&Solution| s.time <= t + 1e-9;
    log.solutions.iter().rev().filter(until).filter_map(|s| match &s.outcome {
        SolutionOutcome::Found { offset, .. } => Some((s, *offset)),
        _ => None,
    })
}

/// Whether the wire carries sensing voltage at time `t` of a run.
pub(crate) fn senses_at(log: &RunLog, t: f64) -> bool {
    is_on(log, t, [&EventKind::SensingOn, &EventKind::SensingOff])
}

/// Whether the arc burns at time `t` of a run.
pub(crate) fn arc_burns_at(log: &RunLog, t: f64) -> bool {
    is_on(log, t, [&EventKind::ArcOn, &EventKind::ArcOff])
}

/// Whether the last of two events until time `t` is the first of them.
fn is_on(log: &RunLog, t: f64, [on, off]: [&EventKind; 2]) -> bool {
    let mut until = log.events.iter().filter(|e| e.time <= t + 1e-9);
    until.rfind(|e| e.what == *on || e.what == *off).is_some_and(|e| e.what == *on)
}

/// The place of a body, or of what it carries: that of the part, and what it has moved by itself.
pub(crate) fn on_part(pose: &Pose, own_motions: &OwnMotions, body: Option<&str>) -> Pose {
    let own = body.and_then(|name| own_motions.get(name));
    *pose * own.copied().unwrap_or_default()
}

/// When a weld was finished: the end of its last leg.
pub(crate) fn weld_time(log: &RunLog, weld: &WeldTrace) -> f64 {
    log.legs.iter().rfind(|l| l.step == weld.step).map_or(log.duration, |l| l.time[1])
}

/// The welds that were finished by time `t`.
pub(crate) fn welds_until(log: &RunLog, t: f64) -> impl Iterator<Item = &WeldTrace> {
    log.welds.iter().filter(move |w| weld_time(log, w) <= t + 1e-9)
}

/// The last weld that had made its start (0) or its end (1) by time `t`: one that was stopped on its way
/// has no end.
pub(crate) fn weld_made(log: &RunLog, t: f64, end: usize) -> Option<&WeldTrace> {
    welds_until(log, t).last().filter(|w| end == 0 || w.whole)
}

/// A run as far as it had come by time `t`.
pub(crate) fn so_far(log: &Arc<RunLog>, t: f64) -> Arc<RunLog> {
    if t >= log.duration - 1e-9 {
        return log.clone();
    }
    let mut so_far = RunLog::clone(log);
    so_far.searches.truncate(searches_until(log, t).count());
    so_far.solutions.retain(|s| s.time <= t + 1e-9);
    so_far.welds = welds_until(log, t).cloned().collect();
    so_far.events.retain(|e| e.time <= t + 1e-9);
    so_far.end = None;
    Arc::new(so_far)
}

/// Every home move until time `t` that moved with the part: its distance from home, mm, and where
/// it ended.
pub(crate) fn homes_carried(log: &RunLog, t: f64) -> impl Iterator<Item = (f64, Point3<f64>)> {
    log.events.iter().filter(move |e| e.time <= t + 1e-9).filter_map(|e| match e.what {
        EventKind::HomeCarried { by_mm } => Some((by_mm, log.torch_at(e.time)?)),
        _ => None,
    })
}

/// What has changed since a run: its results are of the past.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Change {
    /// The part lies elsewhere.
    PartMoved,
    /// The routine is another one.
    RoutineChanged,
}

impl Change {
    /// That a run was before it, with its number.
    pub(crate) fn since(self, run: usize) -> String {
        let key = match self {
            Self::PartMoved => Key::BeforeNudge,
            Self::RoutineChanged => Key::BeforeChange,
        };
        format(key, &[&run.to_string()])
    }
}

/// What has changed since run `index`, from 0, whose log may be shown as `log`.
pub(crate) fn changed_since(state: &State, index: usize, log: &RunLog) -> Option<Change> {
    let run = state.run_contexts.get(index).filter(|_| state.paused.is_none())?;
    let last = run.resumed.last().unwrap_or(&run.began);
    if differ(&log.part_at_end, &state.part_shown()) {
        Some(Change::PartMoved)
    } else {
        (*last.routine != *state.routine).then_some(Change::RoutineChanged)
    }
}

/// The verdict on a run, as the title block shows it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Verdict {
    /// Nothing has been run.
    None,
    /// Its playback is not at its end yet.
    Running,
    Paused,
    /// It was paused, and given up.
    GivenUp,
    /// It stopped, and why.
    Stopped(String),
    /// Every weld landed; the worst miss across the wire, mm.
    OnSeam(f64),
    /// A weld is outside; the worst miss, across the wire or in tip-to-work distance, mm.
    Missed(f64),
    /// It ran to the end and welded nothing.
    NoWeld,
}

/// The verdict on a run as far as its playback has come.
pub(crate) fn verdict(log: Option<&RunLog>, playback: Option<&Playback>) -> Verdict {
    let Some(log) = log else { return Verdict::None };
    if playback.is_some_and(|p| !p.at_end(log)) {
        return Verdict::Running;
    }
    match &log.end {
        None => Verdict::Paused,
        Some(RunEnd::GivenUp) => Verdict::GivenUp,
        Some(RunEnd::Stopped { .. }) => Verdict::Stopped(stop_reason(log)),
        Some(RunEnd::Finished) => {
            let landed = log.welds.iter().all(|w| w.landed);
            let across = log.welds.iter().map(|w| w.worst_mm);
            // A weld inside the tolerance may still be made from too far away.
            let far = log.welds.iter().flat_map(|w| w.miss).map(|m| m.standoff_mm);
            let far = far.filter(|mm| mm.abs() > STANDOFF_MM);
            match across.chain(far).max_by(|a, b| a.abs().total_cmp(&b.abs())) {
                None => Verdict::NoWeld,
                Some(mm) if landed => Verdict::OnSeam(mm),
                Some(mm) => Verdict::Missed(mm),
            }
        }
    }
}

/// How a run came out, in a sentence; `None` before its playback is at its end, or while it is paused.
pub(crate) fn came_out(log: &RunLog, playback: Option<&Playback>) -> Option<String> {
    let n = log.number.to_string();
    Some(match verdict(Some(log), playback) {
        Verdict::OnSeam(mm) => format(Key::SaidOnSeam, &[&n, &length(mm, 2)]),
        Verdict::Missed(mm) => format(Key::SaidMissed, &[&n, &length(mm.abs(), 2)]),
        Verdict::Stopped(_) => {
            let why = log.stop().map(|event| say(&log.says(&event.what))).unwrap_or_default();
            format(Key::SaidStopped, &[&n, &why])
        }
        Verdict::NoWeld => format(Key::SaidNoWeld, &[&n]),
        Verdict::GivenUp => format(Key::SaidGivenUp, &[&n]),
        Verdict::None | Verdict::Running | Verdict::Paused => return None,
    })
}

fn stop_reason(log: &RunLog) -> String {
    log.stopped_by().map_or_else(String::new, |why| say(&why))
}

/// Where the torch is drawn: where the run on show has it, or else where the learner holds it.
pub(crate) fn torch(on_show: Option<(&RunLog, &Playback)>, hand: Point3<f64>) -> Point3<f64> {
    on_show.and_then(|(log, p)| log.torch_at(p.t)).unwrap_or(hand)
}

/// The axis the torch is drawn with, from the wire tip up: where no run is on show it stands upright.
pub(crate) fn torch_axis(on_show: Option<(&RunLog, &Playback)>) -> Vector3<f64> {
    on_show.map_or(Vector3::z(), |(log, p)| log.axis_at(p.t))
}

/// The wire that is drawn: as the run on show had it, or else as it now is.
pub(crate) fn wire(on_show: Option<(&RunLog, &Playback)>, state: &State) -> Wire {
    on_show.map_or_else(|| state.wire_shown(), |(log, p)| log.wire_at(p.t))
}

/// The taught points of weld start and weld end, each if there is one.
pub(crate) fn weld_points(routine: &Routine) -> [Option<Point3<f64>>; 2] {
    let find = |pick: fn(&Instruction) -> bool| {
        let step = routine.steps.iter().find(|s| pick(&s.instruction))?;
        Some(routine.point(step.instruction.point()?)?.at)
    };
    [
        find(|a| matches!(a, Instruction::WeldStart { .. })),
        find(|a| matches!(a, Instruction::WeldEnd { .. })),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::i18n::{Language, set_language};
    use nudgeproof::cell::Fault;
    use nudgeproof::routine::{LegKind, RunSpeed};
    use nudgeproof::session::{Action, Session};

    #[test]
    fn sensing_and_arc_are_on_from_one_event_to_the_other() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session");
        let log = session.state().last_run().expect("a run");
        let touch = log.searches[0].time;
        assert!(!senses_at(log, 0.0) && senses_at(log, touch), "on before the first touch");
        let weld = log.legs.iter().find(|l| l.kind == LegKind::Weld).expect("a weld").time;
        let middle = f64::midpoint(weld[0], weld[1]);
        assert!(!senses_at(log, middle) && arc_burns_at(log, middle), "while it welds");
        assert!(!arc_burns_at(log, touch) && !arc_burns_at(log, log.duration), "before and after");
    }

    #[test]
    fn of_a_run_that_plays_nothing_later_is_told() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session");
        let log = session.state().last_run().expect("a run");
        let second = log.searches[1].time;
        let half = so_far(log, second);
        assert_eq!((half.searches.len(), half.solutions.len(), half.welds.len()), (2, 0, 0));
        assert_eq!(half.end, None, "how it ended");
        assert!(half.events.iter().all(|e| e.time <= second + 1e-6), "no event ahead");
        assert!(Arc::ptr_eq(&so_far(log, log.duration), log), "at its end, all of it");
    }

    #[test]
    fn results_are_of_the_past_once_part_or_routine_is_another() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let mut session = Session::from_json(text).expect("a session");
        let last = session.state().runs.len() - 1;
        let since = |session: &Session| {
            let state = session.state();
            changed_since(state, last, &state.runs[last])
        };
        assert_eq!(since(&session), None, "just run");
        let part = Pose::planar(1.0, 0.0, 0.0).into();
        let place = Action::PlacePart { part, bodies: std::collections::BTreeMap::new() };
        session.act(place).expect("it can be moved");
        assert_eq!(since(&session), Some(Change::PartMoved));
        session.undo();
        let id = session.state().routine.steps[0].id;
        session.act(Action::DeleteStep { id }).expect("it can be deleted");
        assert_eq!(since(&session), Some(Change::RoutineChanged));
    }

    #[test]
    fn the_reason_of_a_stop_is_in_the_language_of_the_page() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let mut session = Session::from_json(text).expect("a session");
        let fault = Fault::ClampMoved { clamp: "south stop".into(), dx: 150.0, dy: 38.0 };
        let run = Action::Run { speed: RunSpeed::Full, arc: false, steps: None };
        session.act_all([Action::Plant { fault }, run]).expect("it can be done");
        let log = session.state().last_run().expect("a run");
        assert_eq!(
            verdict(Some(log), None),
            Verdict::Stopped("the nozzle runs into the south stop".into())
        );
        set_language(Language::Long);
        let long = "the~~ nozzle~~~ runs~~ into~~ the~~ south stop".into();
        assert_eq!(verdict(Some(log), None), Verdict::Stopped(long));
        set_language(Language::English);
    }
}
