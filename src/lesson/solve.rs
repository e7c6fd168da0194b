//! Plays a solution: turns each scripted action into the actions it takes on this part.

use super::ask::{Ask, WhichRun};
use super::drill;
use super::goal::wire_in_order;
use super::lesson::Lesson;
use super::nudge::Nudge;
use super::scripted_action::ScriptedAction;
use super::variant::Variant;
use crate::cell::Fault;
use crate::routine::{Instruction, Routine, RunLog, RunSpeed, Step};
use crate::session::{Action, ActionError, Certainty, Session};
use crate::shift::first_parts;
use std::mem::discriminant;
use std::sync::Arc;

/// Why a solution cannot be played: the number of the entry or action, from 1, and the error.
pub(super) type Stuck = (usize, ActionError);

/// How often a run is made again whose touches disagree.
const AGAIN: usize = 2;

/// Plays a script in a session. Without `lesson` no question is answered, and nobody looks at what a
/// run says.
pub(super) fn play(
    session: &mut Session,
    script: &[ScriptedAction],
    variant: &Variant,
    lesson: Option<&Lesson>,
) -> Result<(), Stuck> {
    for (i, entry) in script.iter().enumerate() {
        let number = |e| (i + 1, e);
        for action in actions(session, *entry, &script[i + 1..], variant, lesson).map_err(number)? {
            session.act(action).map_err(number)?;
        }
        if lesson.is_some() {
            look_again(session).map_err(number)?;
        }
    }
    Ok(())
}

/// Touches that disagree, as chance lets them in one run of a hundred, are looked into: the run is
/// made again, to see whether they do so once more.
fn look_again(session: &mut Session) -> Result<(), ActionError> {
    for _ in 0..AGAIN {
        let disagree = |run: &Arc<RunLog>| run.found().is_some_and(|(fit, _)| !fit.consistent);
        let run = session.actions().last().filter(|a| matches!(a, Action::Run { .. })).cloned();
        let Some(run) = run.filter(|_| session.state().last_run().is_some_and(disagree)) else {
            break;
        };
        session.act(run)?;
    }
    Ok(())
}

impl Lesson {
    /// A session in which the attempt is done as its solution has it.
    ///
    /// # Errors
    /// The number of the entry or action that cannot be done, from 1, and why.
    pub fn solved(&self) -> Result<Session, Stuck> {
        let mut session = self.start.clone();
        if let Some(actions) = &self.stage_solution {
            for (i, action) in actions.iter().enumerate() {
                session.act(action.clone()).map_err(|e| (i + 1, e))?;
            }
            return Ok(session);
        }
        play(&mut session, &self.file.solve, &self.variant, Some(self))?;
        for (i, action) in self.file.solution.iter().enumerate() {
            session.act(action.clone()).map_err(|e| (i + 1, e))?;
        }
        Ok(session)
    }
}

fn actions(
    session: &Session,
    entry: ScriptedAction,
    later: &[ScriptedAction],
    variant: &Variant,
    lesson: Option<&Lesson>,
) -> Result<Vec<Action>, ActionError> {
    let state = session.state();
    let run = |speed, arc| Action::Run { speed, arc, steps: None };
    let slow = || run(RunSpeed::Reduced, false);
    let reference_and_proof =
        || [true, false].into_iter().flat_map(|on| [Action::SetReference { on }, slow()]);
    Ok(match entry {
        ScriptedAction::Build => edits(session, &variant.model)?,
        ScriptedAction::Mend => edits(session, &variant.mended)?,
        ScriptedAction::BuildPlain => edits(session, &variant.plain)?,
        ScriptedAction::Answer => answer(session, later, variant, lesson),
        ScriptedAction::ReferenceRun => with(state.turn_reference(true), slow()),
        ScriptedAction::ProofRun | ScriptedAction::DryRun => {
            with(state.turn_reference(false), slow())
        }
        ScriptedAction::ProductionRun => {
            with(state.turn_reference(false), run(RunSpeed::Full, true))
        }
        ScriptedAction::TrialRun => vec![slow()],
        ScriptedAction::ProveAgain if state.last_run().is_none_or(|run| run.finished()) => {
            Vec::new()
        }
        ScriptedAction::ProveAgain => {
            let cut = Action::CutWire { stick_out_mm: state.settings.stick_out_mm };
            state.by_hand([cut]).into_iter().chain(reference_and_proof()).collect()
        }
        ScriptedAction::FlagOn => state.turn_reference(true).into_iter().collect(),
        ScriptedAction::Nudge => state.by_hand([variant.nudge.action()]),
        ScriptedAction::NudgeAgain => state.by_hand([variant.nudge_again.action()]),
        ScriptedAction::PutBack => state.by_hand([Nudge::back(&state.part).action()]),
        ScriptedAction::CutWire if wire_in_order(state) => Vec::new(),
        ScriptedAction::CutWire => {
            state.by_hand([Action::CutWire { stick_out_mm: state.settings.stick_out_mm }])
        }
        ScriptedAction::PlantEarly | ScriptedAction::Plant => {
            let early = entry == ScriptedAction::PlantEarly;
            let due = planted(variant).iter().filter(|f| of_the_reference(f) == early);
            due.map(|fault| Action::PlantInSecret { fault: fault.clone() }).collect()
        }
        ScriptedAction::LastRun => {
            let Some(drawn) = &variant.planted else { return Ok(Vec::new()) };
            let place = drawn.last_run.next_part.map(Action::place_part);
            let mut done = place.map_or_else(Vec::new, |place| state.by_hand([place]));
            let speed = if drawn.last_run.arc { RunSpeed::Full } else { RunSpeed::Reduced };
            done.extend(with(state.turn_reference(false), run(speed, drawn.last_run.arc)));
            done
        }
        ScriptedAction::FirstParts | ScriptedAction::NextPart | ScriptedAction::RestOfShift => {
            let Some(mut shift) = lesson.and_then(|l| l.shift(session)) else {
                return Ok(Vec::new());
            };
            let until = match entry {
                ScriptedAction::FirstParts => first_parts(shift.parts()),
                ScriptedAction::NextPart => shift.done().len() + 1,
                _ => shift.parts(),
            };
            let mut all = Vec::new();
            while shift.now().is_some() && shift.done().len() < until {
                for what in shift.best_for_this_part() {
                    // The best decisions can be made.
                    let _ = shift.decide(what);
                    all.push(Action::Decide { what });
                }
            }
            all
        }
        ScriptedAction::Look => {
            let looks = lesson.and_then(drill::looks).unwrap_or_default();
            state.by_hand(looks.into_iter().map(|at| Action::Look { at }))
        }
        ScriptedAction::NameCause => {
            let Some(lesson) = lesson else { return Ok(Vec::new()) };
            vec![Action::Reveal, Action::Name { causes: drill::right_causes(lesson, session) }]
        }
        ScriptedAction::Repair => {
            let mends = drill::repair(state).into_iter().map(|by| Action::Mend { by });
            if !planted(variant).iter().any(of_the_reference) {
                let mends: Vec<Action> = mends.collect();
                return Ok(if mends.is_empty() { mends } else { state.by_hand(mends) });
            }
            let back = Nudge::back(&state.part).action();
            let mut done = state.by_hand(mends.chain([back]));
            done.extend(reference_and_proof());
            done.extend(state.by_hand([variant.nudge.action()]));
            done.push(slow());
            done
        }
    })
}

/// The faults of a drill.
fn planted(variant: &Variant) -> &[Fault] {
    variant.planted.as_ref().map_or(&[], |drawn| &drawn.faults)
}

/// Whether a fault must be there while the reference is taken.
fn of_the_reference(fault: &Fault) -> bool {
    fault.reference_part().is_some()
}

fn with(first: impl IntoIterator<Item = Action>, last: Action) -> Vec<Action> {
    first.into_iter().chain([last]).collect()
}

/// The right answer to the question of the current stage. For a prediction the rest of the script is
/// played ahead up to its next run.
fn answer(
    session: &Session,
    later: &[ScriptedAction],
    variant: &Variant,
    lesson: Option<&Lesson>,
) -> Vec<Action> {
    let Some(lesson) = lesson else { return Vec::new() };
    let done = lesson.progress(session).done;
    let Some(ask) = lesson.stages.get(done).and_then(|s| s.ask.as_ref()) else { return Vec::new() };
    if let Some(mut shift) = lesson.shift(session) {
        let next = shift.felt().count();
        let part = match ask.run {
            WhichRun::Last => next.saturating_sub(1),
            WhichRun::Next => {
                for what in shift.best_for_this_part() {
                    let _ = shift.decide(what);
                }
                next
            }
        };
        return given(done, ask, ask.right_in_shift(&shift, part));
    }
    let runs = session.state().runs.len();
    let run = match ask.run {
        WhichRun::Last => session.state().last_run().cloned(),
        WhichRun::Next => {
            let mut ahead = session.clone();
            for (i, entry) in later.iter().enumerate() {
                let Ok(next) = actions(&ahead, *entry, &later[i + 1..], variant, None) else {
                    break;
                };
                if next.into_iter().any(|a| ahead.act(a).is_err())
                    || ahead.state().runs.len() > runs
                {
                    break;
                }
            }
            ahead.state().runs.get(runs).cloned()
        }
    };
    given(done, ask, run.and_then(|r| ask.right(&r)))
}

/// The answer, from 0, to the question of a stage, from 0, if there is one.
fn given(stage: usize, ask: &Ask, right: Option<usize>) -> Vec<Action> {
    let certainty = (ask.run == WhichRun::Next).then_some(Certainty::Certain);
    let predict = |n: usize| Action::Predict { stage: stage + 1, answer: n + 1, certainty };
    right.map(predict).into_iter().collect()
}

/// The edits that turn the session's routine into `wanted`: steps that are set otherwise are changed,
/// those that do not belong are deleted, then missing points are taught and missing steps added from
/// top to bottom.
fn edits(session: &Session, wanted: &Routine) -> Result<Vec<Action>, ActionError> {
    let mut recorder = EditRecorder { ahead: session.clone(), done: Vec::new() };
    let mut missing: Vec<&Instruction> = wanted.steps.iter().map(|s| &s.instruction).collect();
    let mut take = |is: &dyn Fn(&Instruction) -> bool| {
        let at = missing.iter().position(|step| is(step))?;
        Some(missing.remove(at).clone())
    };
    let steps = session.state().routine.steps.clone();
    let strange: Vec<&Step> =
        steps.iter().filter(|s| take(&|step| *step == s.instruction).is_none()).collect();
    for Step { id, instruction } in strange {
        let id = *id;
        recorder.act(match take(&|step| set_otherwise(step, instruction)) {
            Some(step) => Action::ChangeStep { id, step },
            None => Action::DeleteStep { id },
        })?;
    }
    for (i, want) in wanted.steps.iter().map(|s| &s.instruction).enumerate() {
        if let Some(point) = want.point().and_then(|name| wanted.point(name))
            && recorder.routine().point(&point.name).is_none_or(|p| p.at != point.at)
        {
            recorder.act(Action::Teach { point: point.name.clone(), at: point.at })?;
        }
        let rest = recorder.routine().steps.get(i..).unwrap_or_default();
        match rest.iter().position(|s| s.instruction == *want) {
            Some(0) => {}
            Some(further) => {
                let id = rest[further].id;
                recorder.act(Action::MoveStep { id, to: i })?;
            }
            None => {
                let at = (!rest.is_empty()).then_some(i);
                recorder.act(Action::AddStep { at, step: want.clone() })?;
            }
        }
    }
    Ok(recorder.done)
}

/// Whether two steps without a point do the same thing with other settings.
fn set_otherwise(a: &Instruction, b: &Instruction) -> bool {
    a.point().is_none() && discriminant(a) == discriminant(b)
}

/// Does edits in a copy of the session and keeps them.
struct EditRecorder {
    ahead: Session,
    done: Vec<Action>,
}

impl EditRecorder {
    fn act(&mut self, action: Action) -> Result<(), ActionError> {
        self.ahead.act(action.clone())?;
        self.done.push(action);
        Ok(())
    }

    fn routine(&self) -> &Routine {
        &self.ahead.state().routine
    }
}
