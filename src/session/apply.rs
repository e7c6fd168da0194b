use super::action::{Action, CellState};
use super::error::{ActionError, FAR, MAX_STEP_ID};
use super::evidence::Looked;
use super::looks::PLACE_MINUTES;
use super::state::{ByHand, List, LiveEntry, RunContext, State};
use super::taught::{Lying, Taught};
use crate::cell::{Cell, FAULT_NAMES, Fault, Mend, OwnMotions, Wire};
use crate::geometry::{Point3, Pose, Vector3};
use crate::io::limits::{
    FAULTS, FAULTS_PLANTED, FEELS, NAME, POINTS, REMEMBERED, STEPS, STEPS_RUN,
};
use crate::routine::{
    Instruction, Routine, RunEnd, RunLog, Runner, Step, StepId, TaughtPoint, same_place,
};
use crate::text::{self, Number, Sentence, against, angle, say, speed};
use std::sync::Arc;

impl State {
    /// Does one action; `number` is its place among the session's actions, `seed` the session's.
    pub(super) fn apply(
        &mut self,
        action: &Action,
        number: usize,
        seed: u64,
    ) -> Result<(), ActionError> {
        let before = self.routine.clone();
        self.change(action, number, seed)?;
        if !Arc::ptr_eq(&before, &self.routine) {
            check_size(&self.routine)?;
        }
        Ok(())
    }

    fn change(&mut self, action: &Action, number: usize, seed: u64) -> Result<(), ActionError> {
        match action {
            Action::AddStep { at, step } => {
                let routine = Arc::make_mut(&mut self.routine);
                let len = routine.steps.len();
                let at = at.unwrap_or(len);
                if at > len {
                    return Err(ActionError::NoPlace { at, len });
                }
                check_instruction(step)?;
                let id = self.next_step_id.max(routine.next_id());
                self.next_step_id = StepId(id.0 + 1);
                routine.steps.insert(at, Step { id, instruction: step.clone() });
            }
            Action::ChangeStep { id, step } => {
                check_instruction(step)?;
                let (routine, at) = self.step(*id)?;
                routine.steps[at].instruction = step.clone();
            }
            Action::DeleteStep { id } => {
                let (routine, at) = self.step(*id)?;
                routine.steps.remove(at);
            }
            Action::MoveStep { id, to } => {
                let len = self.routine.steps.len();
                if *to >= len {
                    return Err(ActionError::NoPlace { at: *to, len });
                }
                let (routine, at) = self.step(*id)?;
                let step = routine.steps.remove(at);
                routine.steps.insert(*to, step);
            }
            Action::Teach { point, at } => self.teach(point, at, number)?,
            Action::RenamePoint { from, to } => self.rename(from, to)?,
            Action::DeletePoint { point } => {
                let routine = Arc::make_mut(&mut self.routine);
                let before = routine.points.len();
                routine.points.retain(|p| p.name != *point);
                if routine.points.len() == before {
                    return Err(ActionError::NoPoint(point.clone()));
                }
            }
            Action::SetReference { on } => {
                Arc::make_mut(&mut self.memory).reference_flag = *on;
                self.flag_was_off = self.flag_was_off || !on;
            }
            Action::SetCell { state } => {
                self.cell_state = *state;
                if *state == CellState::LockedOut {
                    self.sensing = false;
                    if let Some(runner) = &mut self.paused {
                        let runner = Arc::make_mut(runner);
                        runner.lock_out();
                        let log = runner.log().clone();
                        self.show_last(log);
                    }
                }
            }
            Action::LoadRoutine { routine } => {
                check(routine)?;
                let (part, bodies) = (self.work_from_part, self.own_motions.clone());
                self.taught.loaded(&self.part, Lying { part, bodies }, routine);
                self.routine = Arc::new(routine.clone());
                self.next_step_id = self.next_step_id.max(routine.next_id());
                self.paused = None;
            }
            Action::MoveTorch { to } => {
                within_reach(say::coordinate_of_torch(), length, to.iter())?;
                self.torch = *to;
            }
            Action::PlacePart { part, bodies } => {
                let part = Pose::from(*part);
                part_within_reach(&part)?;
                let mut own = OwnMotions::clone(&self.own_motions);
                for (name, motion) in bodies {
                    if self.part.body(name).is_none_or(|b| b.play.is_none()) {
                        return Err(ActionError::NoBody(name.clone()));
                    }
                    let motion = Pose::from(*motion);
                    part_within_reach(&motion)?;
                    // As drawn is said in one way.
                    if motion == Pose::identity() {
                        own.remove(name);
                    } else {
                        own.insert(name.clone(), motion);
                    }
                }
                if part != self.work_from_part || own != *self.own_motions {
                    self.enter(ByHand::PartMoved, number);
                    self.hand_minutes += PLACE_MINUTES;
                }
                self.work_from_part = part;
                self.own_motions = Arc::new(own);
                if let Some((believed, own)) = &mut self.believed {
                    *believed = part;
                    *own = self.own_motions.clone();
                }
                if let Some(runner) = &mut self.paused {
                    let runner = Arc::make_mut(runner);
                    runner.part_moved(part);
                    let log = runner.log().clone();
                    self.show_last(log);
                }
            }
            Action::Run { speed, arc, steps } => {
                self.check_ready()?;
                let seed = self.noise_seed.unwrap_or(seed);
                (self.wire, self.tip_bend) = self.standing_in_tip(seed);
                let options = self.run_options(seed, *speed, *arc, self.work_from_part);
                let cell = self.cell();
                let runner = Runner::new(options, &cell, self.part.rest);
                self.count_steps(0, *steps)?;
                self.run_contexts.push_back_mut(RunContext {
                    believed: self.believed.as_ref().map(|(part, _)| *part),
                    put: self.part_shown(),
                    own_motions: self.own_motions.clone(),
                    flag_was_off: self.flag_was_off,
                    of_study: std::mem::take(&mut self.study_next),
                    began: self.stretch(number, 0.0),
                    resumed: List::new_sync(),
                });
                self.flag_was_off = !self.memory.reference_flag;
                self.runs.push_back_mut(runner.log().clone());
                self.advance(runner, cell, *steps);
            }
            Action::Resume { steps } => {
                self.check_ready()?;
                let cell = self.cell();
                let paused = self.paused.take().ok_or(ActionError::NothingPaused)?;
                self.count_steps(paused.next_step(), *steps)?;
                let goes_on = self.stretch(number, paused.log().duration);
                if let Some(last) = self.run_contexts.len().checked_sub(1)
                    && let Some(context) = self.run_contexts.get_mut(last)
                {
                    context.resumed.push_back_mut(goes_on);
                }
                self.advance(Runner::clone(&paused), cell, *steps);
            }
            Action::Abort => {
                self.paused.take().ok_or(ActionError::NothingPaused)?;
                if let Some(log) = self.runs.len().checked_sub(1).and_then(|i| self.runs.get_mut(i))
                {
                    Arc::make_mut(log).end = Some(RunEnd::GivenUp);
                }
            }
            Action::CutWire { stick_out_mm } => {
                in_range(say::the_stick_out(), [*stick_out_mm, 0.0, 60.0].map(length))?;
                self.enter(ByHand::WireCut, number);
                self.hand_minutes += Mend::CutWire.minutes();
                self.cut_wire(*stick_out_mm);
            }
            Action::Plant { fault } => {
                let mut faults = Vec::clone(&self.faults);
                faults.push(fault.clone());
                FAULTS.check(faults.len())?;
                self.faults_planted += 1;
                FAULTS_PLANTED.check(self.faults_planted)?;
                self.drawn_cell = Arc::new(Cell::new(&self.part, &self.settings, &faults)?);
                fault.on_wire(&mut self.wire)?;
                self.faults = Arc::new(faults);
            }
            Action::ClearFault { fault } => {
                known_fault(fault)?;
                self.clear_faults(|f| f.name() == fault)?;
                self.enter(ByHand::PutRight, number);
            }
            Action::Predict { .. } | Action::Decide { .. } => {}
            Action::Name { causes } => {
                if let Some(strange) = causes.iter().find(|named| !named.is_known()) {
                    return Err(ActionError::NoFault(strange.cause.clone()));
                }
                FAULTS.check(causes.len())?;
                let diagnosis = self.diagnosis(causes.clone());
                self.named.push_back_mut(diagnosis);
            }
            Action::Look { at } => {
                self.hand_minutes += at.minutes();
                let look = Looked { at: *at, saw: self.sees(*at), runs: self.runs.len() };
                self.looks.push_back_mut(look);
            }
            Action::Mend { by } => {
                self.hand_minutes += by.minutes();
                self.clear_faults(|f| f.kind().mends.contains(by))?;
                if by.cuts_wire() {
                    self.cut_wire(self.settings.stick_out_mm);
                }
                self.enter(ByHand::PutRight, number);
            }
            Action::ClearFaults => {
                self.clear_faults(|_| true)?;
                if self.believed.as_ref().is_some_and(|(b, own)| {
                    same_place(*b, self.work_from_part) && *own == self.own_motions
                }) {
                    self.reveal();
                }
            }
            Action::Conceal { part } => {
                let part = Pose::from(*part);
                part_within_reach(&part)?;
                // What came just before was done by an instructor, not by the learner's hands.
                if self.live_entries.last().is_some_and(|e| e.action + 1 == number) {
                    self.live_entries.drop_last_mut();
                }
                // Nobody but the instructor knows of a body that moved by itself.
                self.believed = Some((part, Arc::default()));
            }
            Action::NoiseFrom { seed } => {
                self.noise_seed = Some(*seed);
                self.study_next = true;
            }
            Action::Reveal => self.reveal(),
            Action::PlantInSecret { .. }
            | Action::MoveInSecret { .. }
            | Action::ClearInSecret { .. } => {
                if let Some(open) = action.in_the_open() {
                    let shown = (self.part_shown(), Arc::new(self.own_motions_shown().clone()));
                    let (entries, minutes) = (self.live_entries.clone(), self.hand_minutes);
                    self.change(&open, number, seed)?;
                    (self.believed, self.live_entries) = (Some(shown), entries);
                    self.hand_minutes = minutes;
                }
            }
            Action::Hint { rule, hint_level } => {
                NAME.check_text(rule)?;
                self.hints.push_back_mut((rule.clone(), *hint_level));
            }
            Action::Mended { rule } => {
                NAME.check_text(rule)?;
                self.mended.push_back_mut(rule.clone());
            }
        }
        Ok(())
    }

    /// Hands go into the cell: notes it if the cell is ready to run.
    fn enter(&mut self, did: ByHand, action: usize) {
        if self.cell_state == CellState::LockedOut {
            return;
        }
        let paused = self.paused.is_some();
        let run = self.runs.len() + usize::from(!paused);
        let sensing = self.sensing;
        self.live_entries.push_back_mut(LiveEntry { action, did, run, paused, sensing });
    }

    fn advance(&mut self, mut runner: Runner, mut cell: Cell, steps: Option<usize>) {
        let routine = self.routine.clone();
        let part = self.part_in_a_run(self.work_from_part);
        let as_it_lies = part == self.work_from_part;
        if !as_it_lies {
            cell.place_part(part);
        }
        runner.believe(self.part_shown());
        runner.advance(&routine, &mut cell, Arc::make_mut(&mut self.memory), steps);
        if as_it_lies {
            self.work_from_part = cell.work_from_part();
        }
        self.wire = cell.wire;
        self.torch = runner.torch();
        self.sensing = runner.senses();
        self.show_last(runner.log().clone());
        self.paused = runner.log().end.is_none().then(|| Arc::new(runner));
    }

    /// Nothing is concealed any longer, in the runs made so far either.
    fn reveal(&mut self) {
        self.believed = None;
        for run in self.concealed_from..self.run_contexts.len() {
            if let Some(context) = self.run_contexts.get_mut(run) {
                context.believed = None;
            }
        }
        self.concealed_from = self.run_contexts.len();
    }

    /// Puts the log of the last run as it now stands in place of what was known of it.
    pub(super) fn show_last(&mut self, log: Arc<RunLog>) {
        if let Some(last) = self.runs.len().checked_sub(1) {
            self.runs.set_mut(last, log);
        }
    }

    /// Removes the planted faults that `which` picks, and what they did to the wire.
    fn clear_faults(&mut self, which: impl Fn(&Fault) -> bool) -> Result<(), ActionError> {
        if !self.faults.iter().any(&which) {
            return Ok(());
        }
        for fault in self.faults.iter().filter(|f| which(f)) {
            fault.off_wire(&mut self.wire, self.settings.stick_out_mm);
        }
        Arc::make_mut(&mut self.faults).retain(|f| !which(f));
        self.drawn_cell = Arc::new(Cell::new(&self.part, &self.settings, &self.faults)?);
        Ok(())
    }

    /// Cuts the wire: straight and clean again, at this stick-out, mm.
    fn cut_wire(&mut self, stick_out_mm: f64) {
        self.wire = Wire::straight(stick_out_mm);
        self.tip_bend = Vector3::zeros();
        Arc::make_mut(&mut self.faults).retain(|f| !f.kind().is_of_the_wire());
    }

    /// Counts the steps of a run that goes on with the step at place `next`, before it does.
    fn count_steps(&mut self, next: usize, steps: Option<usize>) -> Result<(), ActionError> {
        let left = self.routine.steps.len().saturating_sub(next);
        self.steps_run += steps.unwrap_or(left).min(left).max(1);
        STEPS_RUN.check(self.steps_run)?;
        REMEMBERED.check(self.memory.offsets.len().max(self.memory.references.len()))?;
        Ok(())
    }

    /// Whether the cell may run.
    fn check_ready(&self) -> Result<(), ActionError> {
        match self.cell_state {
            CellState::Ready => Ok(()),
            CellState::LockedOut => Err(ActionError::LockedOut),
        }
    }

    fn step(&mut self, id: StepId) -> Result<(&mut Routine, usize), ActionError> {
        let at = self.routine.index_of(id).ok_or(ActionError::NoStep(id))?;
        Ok((Arc::make_mut(&mut self.routine), at))
    }

    fn teach(&mut self, name: &str, at: &Point3<f64>, number: usize) -> Result<(), ActionError> {
        named(name)?;
        within_reach(say::coordinate_of_point(), length, at.iter())?;
        // Stored in the frame that is active now.
        let active = self.paused.as_ref().and_then(|runner| runner.active_offset());
        let stored = active.map_or(*at, |offset| offset.inverse().point(at));
        let how = Taught {
            action: number,
            before: self.routine.point(name).map(|p| p.at),
            part: self.work_from_part,
            bodies: self.own_motions.clone(),
            reference_part: self.memory.references.values().next().map(|r| r.part),
            carried: active.is_some(),
        };
        self.taught.taught(name, &stored, how);
        self.torch = *at;
        let routine = Arc::make_mut(&mut self.routine);
        match routine.points.iter_mut().find(|p| p.name == name) {
            Some(old) => old.at = stored,
            None => routine.points.push(TaughtPoint { name: name.into(), at: stored }),
        }
        Ok(())
    }

    fn rename(&mut self, from: &str, to: &str) -> Result<(), ActionError> {
        named(to)?;
        if self.routine.point(from).is_none() {
            return Err(ActionError::NoPoint(from.into()));
        }
        if self.routine.point(to).is_some() {
            return Err(ActionError::PointExists(to.into()));
        }
        self.taught.renamed(from, to);
        let routine = Arc::make_mut(&mut self.routine);
        for point in routine.points.iter_mut().filter(|p| p.name == from) {
            to.clone_into(&mut point.name);
        }
        for step in &mut routine.steps {
            if let Some(name) = step.instruction.point_mut().filter(|name| *name == from) {
                to.clone_into(name);
            }
        }
        Ok(())
    }
}

fn named(name: &str) -> Result<(), ActionError> {
    if name.trim().is_empty() {
        return Err(ActionError::EmptyName);
    }
    Ok(NAME.check_text(name)?)
}

fn known_fault(name: &str) -> Result<(), ActionError> {
    if FAULT_NAMES.contains(&name) { Ok(()) } else { Err(ActionError::NoFault(name.into())) }
}

/// Whether every number is finite and within ±[`FAR`].
fn within_reach<'a>(
    what: Sentence,
    number: fn(f64) -> Number,
    mut values: impl Iterator<Item = &'a f64>,
) -> Result<(), ActionError> {
    match values.find(|v| !v.is_finite() || v.abs() > FAR) {
        None => Ok(()),
        Some(v) if !v.is_finite() => Err(ActionError::NotFinite(what)),
        Some(v) => {
            let numbers = Box::new([number(*v), number(FAR)]);
            Err(ActionError::TooFar { what, numbers })
        }
    }
}

fn part_within_reach(work_from_part: &Pose) -> Result<(), ActionError> {
    within_reach(say::shift_of_part(), length, work_from_part.translation().iter())?;
    within_reach(say::turn_of_part(), |v| angle(v, 1), work_from_part.rotation_vector().iter())
}

/// Whether a number is above the second, and at most the third.
fn in_range(what: Sentence, [is, above, most]: [Number; 3]) -> Result<(), ActionError> {
    if is.value > above.value && is.value <= most.value {
        Ok(())
    } else {
        let [is, most] = against(is, most);
        Err(ActionError::OutOfRange { what, numbers: Box::new([is, above, most]) })
    }
}

fn length(mm: f64) -> Number {
    text::mm(mm, 1)
}

/// Whether a routine holds no more than it may.
fn check_size(routine: &Routine) -> Result<(), ActionError> {
    STEPS.check(routine.steps.len())?;
    let is_feel = |s: &&Step| matches!(s.instruction, Instruction::Feel { .. });
    FEELS.check(routine.steps.iter().filter(is_feel).count())?;
    Ok(POINTS.check(routine.points.len())?)
}

/// What must hold of an instruction. Its names may be empty, and of things that do not exist, but no
/// longer than they may be; its numbers must be in range.
fn check_instruction(instruction: &Instruction) -> Result<(), ActionError> {
    instruction.names().try_for_each(|name| NAME.check_text(name))?;
    match instruction {
        Instruction::SensingOn { speed_mm_s, reach_mm } => {
            in_range(say::the_speed(), [*speed_mm_s, 0.0, 1000.0].map(|v| speed(v, 1)))?;
            in_range(say::the_reach(), [*reach_mm, 0.0, 1000.0].map(length))
        }
        _ => Ok(()),
    }
}

/// What must hold of a routine that comes from outside, as a whole.
fn check(routine: &Routine) -> Result<(), ActionError> {
    check_size(routine)?;
    routine.steps.iter().try_for_each(|s| check_instruction(&s.instruction))?;
    if let Some(step) = routine.steps.iter().find(|s| s.id > MAX_STEP_ID) {
        return Err(ActionError::StepIdTooLarge(step.id));
    }
    twice(say::a_step(), routine.steps.iter().map(|s| s.id.0.to_string()))?;
    twice(say::a_point(), routine.points.iter().map(|p| p.name.clone()))?;
    for point in &routine.points {
        named(&point.name)?;
        within_reach(say::coordinate_of_point(), length, point.at.iter())?;
    }
    Ok(())
}

fn twice(what: Sentence, names: impl Iterator<Item = String>) -> Result<(), ActionError> {
    let mut seen = std::collections::BTreeSet::new();
    for name in names {
        if !seen.insert(name.clone()) {
            return Err(ActionError::Twice { what, name });
        }
    }
    Ok(())
}
