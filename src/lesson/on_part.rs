//! A lesson of the course on a part of one's own.

use super::error::LessonError;
use super::file::{LessonFile, LessonKind};
use super::lesson::Lesson;
use crate::cell::Part;
use crate::geometry::PoseFile;
use crate::io::to_toml;
use crate::routine::Routine;
use std::sync::Arc;
use thiserror::Error;

/// Why a lesson cannot be had on another part.
#[derive(Debug, Error)]
pub enum OnPartError {
    /// What it has is given in full for its own part.
    #[error("it is made for its own part alone")]
    OnePart,
    /// It cannot be set up.
    #[error(transparent)]
    Lesson(#[from] LessonError),
    /// Its solution does not do every stage there with full marks.
    #[error("stage {stage} ({title}) cannot be done on this part")]
    Stage {
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
    },
}

impl LessonFile {
    /// The same lesson on another part, which comes with it. Its solution has been played on it, and does every
    /// stage with full marks.
    ///
    /// # Errors
    /// Why there is none.
    pub fn on_part(&self, part: &Part) -> Result<Self, OnPartError> {
        let in_full = self.routine != Routine::default()
            || !self.solution.is_empty()
            || !self.faults.is_empty()
            || self.kind == LessonKind::Shift;
        if in_full {
            return Err(OnPartError::OnePart);
        }
        let file = Self {
            name: format!("{}-on-{}", self.name, part.name),
            title: format!("{}: {}", self.title, part.title),
            own_parts: vec![part.clone()],
            place: PoseFile::default(),
            ..self.with_part(&part.name)
        };
        file.check()?;
        let lesson = Lesson::of_file(&Arc::new(file.clone()), file.seed)?;
        let stuck = |stage: usize| {
            let stage = stage.min(lesson.stages.len() - 1);
            OnPartError::Stage { stage: stage + 1, title: lesson.stages[stage].title.clone() }
        };
        let solved = lesson.solved().map_err(|_| stuck(0))?;
        let progress = lesson.progress(&solved);
        if !progress.finished() || lesson.score(&solved).total != 100 {
            return Err(stuck(progress.done));
        }
        Ok(file)
    }

    /// The same lesson on the part of this name alone, moved to wherever the seed draws.
    pub(super) fn with_part(&self, part: &str) -> Self {
        let nudge = PoseFile::default();
        Self { part: part.into(), other_parts: Vec::new(), nudge, ..self.clone() }
    }

    /// The lesson as a file.
    pub fn to_toml(&self) -> String {
        to_toml(self)
    }
}
