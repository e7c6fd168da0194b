//! Sets up attempts: reads a lesson, draws what the seed decides, and builds the session at the start.

use super::drill;
use super::error::LessonError;
use super::file::{LessonFile, LessonKind};
use super::fill::fill;
use super::lesson::{Lesson, stage_name};
use super::mistakes;
use super::sheet;
use super::shift_draw::shift_of;
use super::solve;
use super::variant::{DRAWS, Variant};
use crate::cell::Fault;
use crate::geometry::PoseFile;
use crate::routine::Routine;
use crate::session::{Action, Header, Session};
use std::sync::Arc;

impl Lesson {
    /// Reads a lesson and sets up the attempt with its own seed.
    ///
    /// # Errors
    /// The first thing in it that does not fit the format.
    pub fn from_toml(text: &str) -> Result<Self, LessonError> {
        let file = LessonFile::from_toml(text)?;
        let seed = file.seed;
        Self::set_up(&Arc::new(file), seed).map_err(|e| e.at_position(text))
    }

    /// The attempt with this seed at the lesson of a file.
    ///
    /// # Errors
    /// If it cannot be set up with this seed; `nudgeproof lessons check` proves that it can.
    pub fn of_file(file: &Arc<LessonFile>, seed: u64) -> Result<Self, LessonError> {
        Self::set_up(file, seed)
    }

    /// Another attempt at the same lesson: another part, place, direction, fault.
    ///
    /// # Errors
    /// If it cannot be set up with this seed; `nudgeproof lessons check` proves that it can.
    pub fn variant(&self, seed: u64) -> Result<Self, LessonError> {
        let whole = Self::set_up(&self.file, seed)?;
        match self.single_stage {
            Some(stage) => whole.single_stage(stage),
            None => Ok(whole),
        }
    }

    fn set_up(file: &Arc<LessonFile>, seed: u64) -> Result<Self, LessonError> {
        let draws = if file.causes.is_empty() { 1 } else { DRAWS };
        for draw in 0..draws {
            let Some(variant) = Variant::draw(file, seed, draw) else { continue };
            let start = match start(file, &variant, seed) {
                Ok(start) => start,
                Err(_) if draw + 1 < draws => continue,
                Err(why) => return Err(why),
            };
            let shift = match file.kind {
                LessonKind::Shift => Some(shift_of(&start, seed)?),
                _ => None,
            };
            let mut stages = file.stages.clone();
            fill(&mut stages, &variant)?;
            let lesson = Self {
                name: file.name.clone(),
                title: file.title.clone(),
                about: file.about.clone(),
                minutes: file.minutes,
                kind: file.kind,
                part: variant.part.name.clone(),
                seed,
                rules: file.rules.clone(),
                stages,
                file: file.clone(),
                variant,
                start,
                shift,
                single_stage: None,
                stage_solution: None,
            };
            if lesson.can_be_found() {
                return Ok(lesson);
            }
        }
        Err(LessonError::NoSymptom { seed })
    }

    /// In a drill: whether what is planted can be found, in the runs of the start and by looking. True of
    /// any other lesson.
    fn can_be_found(&self) -> bool {
        let Some(drawn) = &self.variant.planted else { return true };
        drill::decides(&self.start, &drawn.faults, |faults| self.start_with(faults))
            && drill::looks(self).is_some()
    }

    /// The start of the whole lesson with these faults planted.
    pub(super) fn start_with(&self, faults: &[Fault]) -> Option<Session> {
        let mut variant = self.variant.clone();
        variant.planted.as_mut()?.faults = faults.to_vec();
        start(&self.file, &variant, self.seed).ok()
    }

    /// One stage of this attempt as a lesson of its own. It starts with everything before the stage
    /// done. `stage` counts from 0.
    ///
    /// # Errors
    /// If its start cannot be set up.
    pub(super) fn single_stage(&self, stage: usize) -> Result<Self, LessonError> {
        let solved = self.solved().map_err(|(_, e)| LessonError::Start(e))?;
        let done = self.stages_done(&solved);
        // `done[0]` belongs to the start, `done[n]` to the n-th action of the solution.
        let first_with =
            |stages: usize| done.iter().position(|d| *d >= stages).unwrap_or(done.len() - 1);
        let solution = &solved.actions()[self.start_actions()..];
        let (from, to) = (first_with(stage), first_with(stage + 1));
        let name = stage_name(&self.name, stage);
        let mut start = self.start.clone();
        start.belongs_to(&name);
        for action in &solution[..from] {
            start.act(action.clone()).map_err(LessonError::Start)?;
        }
        let stage_solution = solution[from..to].iter().map(|action| match action {
            Action::Predict { answer, certainty, .. } => {
                Action::Predict { stage: 1, answer: *answer, certainty: *certainty }
            }
            other => other.clone(),
        });
        let mut alone = Self {
            name,
            title: self.stages[stage].title.clone(),
            kind: LessonKind::Refresher,
            rules: Vec::new(),
            stages: vec![self.stages[stage].clone()],
            start,
            single_stage: Some(stage),
            stage_solution: Some(stage_solution.collect()),
            ..self.clone()
        };
        let solved = alone.solved().map_err(|(_, e)| LessonError::Start(e))?;
        alone.minutes = alone.minutes_of(&solved).ceil() as u32;
        Ok(alone)
    }
}

/// The session at the start of an attempt.
fn start(file: &LessonFile, variant: &Variant, seed: u64) -> Result<Session, LessonError> {
    let mut header = Header::new(variant.part.clone(), seed);
    header.lesson = Some(file.name.clone());
    let mut session = Session::new(header).map_err(LessonError::Start)?;
    let mut routine = sheet::named(file, &variant.model, &variant.plain);
    for rule in file.start.mistakes.iter().chain(&variant.drawn.mistakes) {
        if !mistakes::in_routine(*rule, &variant.part, &mut routine) {
            let part = variant.part.name.clone();
            return Err(LessonError::Mistake { rule: *rule, part });
        }
    }
    let mut routine = sheet::with_gaps(file, routine);
    if variant.drawn.untick_unseen {
        mistakes::untick_unseen(&mut routine);
    }
    let mut actions = Vec::new();
    if routine != Routine::default() {
        actions.push(Action::LoadRoutine { routine });
    }
    if file.place != PoseFile::default() {
        actions.extend(session.state().by_hand([Action::place_part(file.place)]));
    }
    actions.extend(file.faults.iter().map(|f| Action::Plant { fault: f.clone() }));
    if file.kind == LessonKind::Drill {
        // Nothing of what is planted is told until it is named, nor where parts truly lie.
        actions.push(Action::Conceal { part: file.place });
    }
    for action in actions {
        session.act(action).map_err(LessonError::Start)?;
    }
    for did in [&file.start.did, &variant.drawn.did] {
        solve::play(&mut session, did, variant, None).map_err(|(_, e)| LessonError::Start(e))?;
    }
    Ok(session)
}
