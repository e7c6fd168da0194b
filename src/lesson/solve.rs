//! Plays a solution: turns each scripted action into the actions it takes on this part.

use super::ask::WhichRun;
use super::drill;
use super::lesson::Lesson;
use super::scripted_action::ScriptedAction;
use super::variant::Variant;
use crate::geometry::PoseFile;
use crate::routine::{Instruction, ProbePlan, Routine, RunSpeed};
use crate::session::{Action, ActionError, Session};

/// Why a solution cannot be played: the number of the entry or action, from 1, and the error.
pub(super) type Stuck = (usize, ActionError);

/// Plays a script in a session. Without `lesson` no question is answered.
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
    let routine = &session.state().routine;
    let run = |speed, arc| Action::Run { speed, arc, steps: None };
    let slow = || run(RunSpeed::Reduced, false);
    Ok(match entry {
        ScriptedAction::Build => edits(session, &variant.model)?,
        ScriptedAction::BuildPlain => edits(session, &variant.plain)?,
        ScriptedAction::Answer => answer(session, later, variant, lesson),
        ScriptedAction::ReferenceRun => with(flag(routine, true), slow()),
        ScriptedAction::ProofRun => with(flag(routine, false), slow()),
        ScriptedAction::ProductionRun => with(flag(routine, false), run(RunSpeed::Full, true)),
        ScriptedAction::TrialRun => vec![slow()],
        ScriptedAction::FlagOn => flag(routine, true),
        ScriptedAction::FlagOff => flag(routine, false),
        ScriptedAction::Nudge => vec![Action::PlacePart { part: variant.nudge }],
        ScriptedAction::PutBack => vec![Action::PlacePart { part: PoseFile::default() }],
        ScriptedAction::Straighten => {
            let state = session.state();
            let cut = Action::CutWire { stick_out_mm: state.settings.stick_out_mm };
            (state.bend.norm() > 0.0).then_some(cut).into_iter().collect()
        }
        ScriptedAction::PlantEarly | ScriptedAction::Plant => {
            let early = |f: &crate::cell::Fault| f.name() == "reference-on-moved-part";
            let due =
                variant.fault.iter().filter(|f| early(f) == (entry == ScriptedAction::PlantEarly));
            due.map(|fault| Action::Plant { fault: fault.clone() }).collect()
        }
        ScriptedAction::NameCause => match &variant.fault {
            Some(f) => vec![Action::Name { cause: f.name().into() }, Action::Reveal],
            None => Vec::new(),
        },
        ScriptedAction::Repair => {
            let Some(fault) = &variant.fault else { return Ok(Vec::new()) };
            let mut done = drill::repair(fault, session.state());
            if fault.name() == "reference-on-moved-part" {
                done.extend(with(flag(routine, true), slow()));
                done.extend(with(off(routine), slow()));
                done.push(Action::PlacePart { part: variant.nudge });
            }
            done
        }
    })
}

fn with(mut actions: Vec<Action>, last: Action) -> Vec<Action> {
    actions.push(last);
    actions
}

/// Sets the reference flag of the plans that have it otherwise.
fn flag(routine: &Routine, on: bool) -> Vec<Action> {
    let turned = |p: &ProbePlan| Action::SetPlan { plan: ProbePlan { reference: on, ..p.clone() } };
    routine.plans.iter().filter(|p| p.reference != on).map(turned).collect()
}

/// Sets the reference flag of every plan to off, changed or not.
fn off(routine: &Routine) -> Vec<Action> {
    let off = |p: &ProbePlan| Action::SetPlan { plan: ProbePlan { reference: false, ..p.clone() } };
    routine.plans.iter().map(off).collect()
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
    let right = run.and_then(|r| ask.right(&r));
    right.map(|n| Action::Predict { stage: done + 1, answer: n + 1 }).into_iter().collect()
}

/// The edits that turn the session's routine into `wanted`: steps that do not belong are deleted, then
/// missing points are taught and missing steps added from top to bottom.
fn edits(session: &Session, wanted: &Routine) -> Result<Vec<Action>, ActionError> {
    let mut recorder = EditRecorder { ahead: session.clone(), done: Vec::new() };
    let mut spare: Vec<&Instruction> = wanted.steps.iter().map(|s| &s.instruction).collect();
    for step in session.state().routine.steps.clone() {
        match spare.iter().position(|act| **act == step.instruction) {
            Some(at) => drop(spare.remove(at)),
            None => recorder.act(Action::DeleteStep { id: step.id })?,
        }
    }
    for (i, want) in wanted.steps.iter().map(|s| &s.instruction).enumerate() {
        if let Instruction::BeginProbing { plan } = want
            && recorder.routine().plan(plan).is_none()
            && let Some(plan) = wanted.plan(plan)
        {
            // With default values, as the form shows a new plan; the wanted ones are set at the end.
            recorder.act(Action::SetPlan { plan: ProbePlan::new(&plan.name, &plan.fills) })?;
        }
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
    for plan in &wanted.plans {
        let old = recorder.routine().plan(&plan.name).cloned();
        let reference = old.as_ref().is_some_and(|p| p.reference);
        let plan = ProbePlan { reference, ..plan.clone() };
        if old.as_ref() != Some(&plan) {
            recorder.act(Action::SetPlan { plan })?;
        }
    }
    Ok(recorder.done)
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
