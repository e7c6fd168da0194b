//! How a lesson is done, in words of its own: what they come to on this part, in this place.

use super::ask::WhichRun;
use super::drill;
use super::lesson::Lesson;
use super::scripted_action::ScriptedAction;
use super::variant::Variant;
use crate::geometry::PoseFile;
use crate::routine::{Instruction, ProbePlan, Routine, RunSpeed};
use crate::session::{Action, ActionError, Session};

/// Why a solution cannot be played: number of the deed or action, from 1, and why.
pub(super) type Stuck = (usize, ActionError);

/// Does the deeds in a session. `lesson` is asked for its questions; none may be asked without it.
pub(super) fn play(
    session: &mut Session,
    deeds: &[ScriptedAction],
    variant: &Variant,
    lesson: Option<&Lesson>,
) -> Result<(), Stuck> {
    for (i, deed) in deeds.iter().enumerate() {
        let number = |e| (i + 1, e);
        for action in actions(session, *deed, &deeds[i + 1..], variant, lesson).map_err(number)? {
            session.act(action).map_err(number)?;
        }
    }
    Ok(())
}

impl Lesson {
    /// A session in which the attempt has been done as it should be.
    ///
    /// # Errors
    /// The number of the deed or action that cannot be done, from 1, and why.
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
    deed: ScriptedAction,
    later: &[ScriptedAction],
    variant: &Variant,
    lesson: Option<&Lesson>,
) -> Result<Vec<Action>, ActionError> {
    let routine = &session.state().routine;
    let run = |speed, arc| Action::Run { speed, arc, steps: None };
    let slow = || run(RunSpeed::Reduced, false);
    Ok(match deed {
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
                variant.fault.iter().filter(|f| early(f) == (deed == ScriptedAction::PlantEarly));
            due.map(|fault| Action::Plant { fault: fault.clone() }).collect()
        }
        ScriptedAction::NameCause => match &variant.fault {
            Some(f) => vec![Action::Name { cause: f.name().into() }, Action::Reveal],
            None => Vec::new(),
        },
        ScriptedAction::Repair => {
            let Some(fault) = &variant.fault else { return Ok(Vec::new()) };
            let mut done = drill::mend(fault, session.state());
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

/// Turns the flag of every plan, where it is not turned already.
fn flag(routine: &Routine, on: bool) -> Vec<Action> {
    let turned = |p: &ProbePlan| Action::SetPlan { plan: ProbePlan { reference: on, ..p.clone() } };
    routine.plans.iter().filter(|p| p.reference != on).map(turned).collect()
}

/// The flag of every plan off, wherever it now is.
fn off(routine: &Routine) -> Vec<Action> {
    let off = |p: &ProbePlan| Action::SetPlan { plan: ProbePlan { reference: false, ..p.clone() } };
    routine.plans.iter().map(off).collect()
}

/// The right answer to the question under way: for a prediction, what the next run will do.
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
            for (i, deed) in later.iter().enumerate() {
                let Ok(next) = actions(&ahead, *deed, &later[i + 1..], variant, None) else {
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

/// The edits that make the routine this one: what is missing is taught and added, in the order in
/// which one would write it; what does not belong is taken out.
fn edits(session: &Session, wanted: &Routine) -> Result<Vec<Action>, ActionError> {
    let mut pen = Pen { ahead: session.clone(), done: Vec::new() };
    let mut spare: Vec<&Instruction> = wanted.steps.iter().map(|s| &s.instruction).collect();
    for step in session.state().routine.steps.clone() {
        match spare.iter().position(|act| **act == step.instruction) {
            Some(at) => drop(spare.remove(at)),
            None => pen.act(Action::DeleteStep { id: step.id })?,
        }
    }
    for (i, want) in wanted.steps.iter().map(|s| &s.instruction).enumerate() {
        if let Instruction::BeginProbing { plan } = want
            && pen.routine().plan(plan).is_none()
            && let Some(plan) = wanted.plan(plan)
        {
            // As the form shows a new plan; its freedoms are chosen when the steps stand.
            pen.act(Action::SetPlan { plan: ProbePlan::new(&plan.name, &plan.fills) })?;
        }
        if let Some(point) = want.point().and_then(|name| wanted.point(name))
            && pen.routine().point(&point.name).is_none_or(|p| p.at != point.at)
        {
            pen.act(Action::Teach { point: point.name.clone(), at: point.at })?;
        }
        let rest = pen.routine().steps.get(i..).unwrap_or_default();
        match rest.iter().position(|s| s.instruction == *want) {
            Some(0) => {}
            Some(further) => {
                let id = rest[further].id;
                pen.act(Action::MoveStep { id, to: i })?;
            }
            None => {
                let at = (!rest.is_empty()).then_some(i);
                pen.act(Action::AddStep { at, step: want.clone() })?;
            }
        }
    }
    for plan in &wanted.plans {
        let old = pen.routine().plan(&plan.name).cloned();
        let reference = old.as_ref().is_some_and(|p| p.reference);
        let plan = ProbePlan { reference, ..plan.clone() };
        if old.as_ref() != Some(&plan) {
            pen.act(Action::SetPlan { plan })?;
        }
    }
    Ok(pen.done)
}

/// Writes edits down while doing them.
struct Pen {
    ahead: Session,
    done: Vec<Action>,
}

impl Pen {
    fn act(&mut self, action: Action) -> Result<(), ActionError> {
        self.ahead.act(action.clone())?;
        self.done.push(action);
        Ok(())
    }

    fn routine(&self) -> &Routine {
        &self.ahead.state().routine
    }
}
