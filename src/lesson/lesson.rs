use super::error::LessonError;
use super::file::{LessonFile, LessonKind, Stage, StartRoutine};
use super::solve::{self, Stuck};
use super::variant::{DRAWS, Variant};
use super::{fill, mistakes};
use crate::geometry::PoseFile;
use crate::routine::Routine;
use crate::session::{Action, Header, Session};
use std::sync::Arc;

/// One attempt at a lesson: its texts name this attempt's part, places and numbers.
///
/// [`Lesson::from_toml`] gives the attempt with the file's own seed, [`Lesson::variant`] any other.
/// The same seed always gives the same attempt, and a session keeps both: [`crate::lesson::of_session`].
#[derive(Debug, Clone)]
pub struct Lesson {
    /// Short name in kebab-case; in a refresher with the number of the stage: `slide-and-turn#7`.
    pub name: String,
    /// What stands above it.
    pub title: String,
    /// What one can do afterwards, in a sentence.
    pub about: String,
    /// How long it takes, minutes.
    pub minutes: u32,
    /// What kind of lesson it is.
    pub kind: LessonKind,
    /// Name of this attempt's part.
    pub part: String,
    /// Seed of this attempt.
    pub seed: u64,
    /// The rules it is about.
    pub rules: Vec<String>,
    /// What is to be done, in order, in words that are true of this attempt.
    pub stages: Vec<Stage>,
    pub(super) file: Arc<LessonFile>,
    pub(super) variant: Variant,
    pub(super) begin: Session,
    /// In a refresher: which stage of the lesson it is, from 0.
    pub(super) only: Option<usize>,
    /// In a refresher: what does it, taken from the solution of the lesson.
    rest: Option<Vec<Action>>,
}

impl Lesson {
    /// Reads a lesson and sets up the attempt with its own seed.
    ///
    /// # Errors
    /// The first thing in it that is not as the format asks.
    pub fn from_toml(text: &str) -> Result<Self, LessonError> {
        let file = LessonFile::from_toml(text)?;
        let seed = file.seed;
        Self::of(Arc::new(file), seed).map_err(|e| e.at_position(text))
    }

    /// Another attempt at the same lesson: another part, place, direction, fault.
    ///
    /// # Errors
    /// If it cannot be set up with this seed; `nudgeproof lessons check` proves that it can.
    pub fn variant(&self, seed: u64) -> Result<Self, LessonError> {
        let whole = Self::of(self.file.clone(), seed)?;
        self.only.map_or_else(|| Ok(whole.clone()), |stage| whole.only(stage))
    }

    /// The lesson as it stands in its file, with its names in braces.
    pub fn file(&self) -> &LessonFile {
        &self.file
    }

    fn of(file: Arc<LessonFile>, seed: u64) -> Result<Self, LessonError> {
        let draws = if file.causes.is_empty() { 1 } else { DRAWS };
        for draw in 0..draws {
            let Some(variant) = Variant::draw(&file, seed, draw) else { continue };
            let Ok(begin) = begin(&file, &variant, seed) else {
                if draw + 1 < draws {
                    continue;
                }
                return Err(begin(&file, &variant, seed).err().unwrap_or(LessonError::NoStages));
            };
            if file.kind == LessonKind::Drill && !shows(&begin, &variant) {
                continue;
            }
            let mut stages = file.stages.clone();
            fill::fill(&mut stages, &variant)?;
            return Ok(Self {
                name: file.name.clone(),
                title: file.title.clone(),
                about: file.about.clone(),
                minutes: file.minutes,
                kind: file.kind,
                part: variant.part.name.clone(),
                seed,
                rules: file.rules.clone(),
                stages,
                file,
                variant,
                begin,
                only: None,
                rest: None,
            });
        }
        Err(LessonError::NoSymptom { seed })
    }

    /// A session at the start of the attempt.
    ///
    /// # Errors
    /// None any more: what cannot be set up is refused when the attempt is made.
    pub fn start(&self) -> Result<Session, LessonError> {
        Ok(self.begin.clone())
    }

    /// How many actions of a session belong to its start and not to the learner.
    pub fn begun(&self) -> usize {
        self.begin.actions().len()
    }

    /// What is wrong with the cell, in a drill: the name of the cause. Not for the learner's eyes
    /// before it is named.
    pub fn cause(&self) -> Option<&'static str> {
        self.variant.fault.as_ref().map(crate::cell::Fault::name)
    }

    /// The causes a learner may choose from, in a drill.
    pub fn causes(&self) -> Vec<&'static super::Cause> {
        super::drill::CAUSES
            .iter()
            .filter(|c| self.file.causes.iter().any(|t| t.name() == c.name))
            .collect()
    }

    /// A session in which the attempt has been done as it should be.
    ///
    /// # Errors
    /// The number of the deed or action that cannot be done, from 1, and why.
    pub fn solved(&self) -> Result<Session, Stuck> {
        let mut session = self.begin.clone();
        if let Some(actions) = &self.rest {
            for (i, action) in actions.iter().enumerate() {
                session.act(action.clone()).map_err(|e| (i + 1, e))?;
            }
            return Ok(session);
        }
        solve::play(&mut session, &self.file.solve, &self.variant, Some(self))?;
        for (i, action) in self.file.solution.iter().enumerate() {
            session.act(action.clone()).map_err(|e| (i + 1, e))?;
        }
        Ok(session)
    }

    /// One stage of this attempt alone: everything before it is done already.
    ///
    /// # Errors
    /// If its start cannot be set up.
    pub(super) fn only(&self, stage: usize) -> Result<Self, LessonError> {
        let full = self.solved().map_err(|(_, e)| LessonError::Start(e))?;
        let mut begin = self.begin.clone();
        begin.belongs_to(&format!("{}#{}", self.name, stage + 1));
        let marks = self.marks(&full);
        // The first mark is the start itself.
        let after = |done: usize| marks.iter().position(|m| *m >= done).unwrap_or(marks.len() - 1);
        let own = &full.actions()[self.begun()..];
        let (from, to) = (after(stage), after(stage + 1));
        for action in &own[..from] {
            begin.act(action.clone()).map_err(LessonError::Start)?;
        }
        let rest = own[from..to].iter().map(|action| match action {
            Action::Predict { answer, .. } => Action::Predict { stage: 1, answer: *answer },
            other => other.clone(),
        });
        let rest = Some(rest.collect());
        let picked = self.stages[stage].clone();
        let mut alone = Self {
            name: format!("{}#{}", self.name, stage + 1),
            title: picked.title.clone(),
            kind: LessonKind::Refresher,
            rules: Vec::new(),
            stages: vec![picked],
            begin,
            only: Some(stage),
            rest,
            ..self.clone()
        };
        let solved = alone.solved().map_err(|(_, e)| LessonError::Start(e))?;
        alone.minutes = alone.minutes_of(&solved).ceil() as u32;
        Ok(alone)
    }
}

/// A session at the start.
fn begin(file: &LessonFile, variant: &Variant, seed: u64) -> Result<Session, LessonError> {
    let mut header = Header::new(variant.part.clone(), seed);
    header.lesson = Some(file.name.clone());
    let mut session = Session::new(header).map_err(LessonError::Start)?;
    let mut routine = match file.start.sheet {
        StartRoutine::Blank => file.routine.clone(),
        StartRoutine::Plain => variant.plain.clone(),
        StartRoutine::Worked => variant.model.clone(),
    };
    for rule in &file.start.mistakes {
        if !mistakes::in_routine(rule, &variant.part, &mut routine) {
            let part = variant.part.name.clone();
            return Err(LessonError::Mistake { rule: rule.clone(), part });
        }
    }
    let whole = routine.clone();
    let gap = |i: usize| whole.kind(i).is_some_and(|k| file.start.gaps.contains(&k));
    let kept = whole.steps.iter().enumerate().filter(|(i, _)| !gap(*i));
    routine.steps = kept.map(|(_, s)| s.clone()).collect();
    let mut actions = Vec::new();
    if routine != Routine::default() {
        actions.push(Action::LoadRoutine { routine });
    }
    if file.place != PoseFile::default() {
        actions.push(Action::PlacePart { part: file.place });
    }
    actions.extend(file.faults.iter().map(|f| Action::Plant { fault: f.clone() }));
    if file.kind == LessonKind::Drill {
        // What is planted from here on is not drawn until it is named.
        actions.push(Action::Conceal { part: file.place });
    }
    for action in actions {
        session.act(action).map_err(LessonError::Start)?;
    }
    let deeds = &file.start.did;
    solve::play(&mut session, deeds, variant, None).map_err(|(_, e)| LessonError::Start(e))?;
    Ok(session)
}

/// Whether the fault of a drill shows in the runs made before it starts: the last weld missed, or
/// was never made.
fn shows(begin: &Session, variant: &Variant) -> bool {
    variant.fault.is_some() && begin.state().last_run().is_some_and(|r| !r.landed())
}
