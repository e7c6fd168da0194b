//! Reads a lesson file, and checks what can be checked without playing the lesson.

use super::drill::FaultTemplate;
use super::error::LessonError;
use super::file::{LESSON_VERSION, LessonFile, LessonKind, Stage, StartDraw};
use super::goal::Goal;
use crate::cell::{Part, is_held_back, part_by_name, parts};
use crate::coach::Skill;
use crate::io::from_toml;
use crate::io::limits::{NAME, OverLimit, PARTS, STAGES, TEXT};
use serde::Deserialize;
use std::collections::BTreeSet;

/// The key that is read alone where a file does not fit.
#[derive(Deserialize)]
struct Head {
    format_version: u32,
}

impl LessonFile {
    /// Reads a lesson and checks what can be checked without playing it.
    pub(super) fn from_toml(text: &str) -> Result<Self, LessonError> {
        let file: Self = from_toml(text).map_err(|error| match from_toml::<Head>(text) {
            // What does not fit may come of the version.
            Ok(head) if head.format_version != LESSON_VERSION => {
                LessonError::OtherVersion(head.format_version).at_position(text)
            }
            _ => error.into(),
        })?;
        file.check().map_err(|e| e.at_position(text))?;
        Ok(file)
    }

    /// Whether it draws a part that is held back for a task on a part that nobody has seen.
    pub fn draws_held_back(&self) -> bool {
        std::iter::once(&self.part).chain(&self.other_parts).any(|name| is_held_back(name))
    }

    pub(super) fn check(&self) -> Result<(), LessonError> {
        if self.format_version != LESSON_VERSION {
            return Err(LessonError::OtherVersion(self.format_version));
        }
        PARTS.check(self.own_parts.len()).map_err(|over| too_much(None, "own_parts", over))?;
        for (i, part) in self.own_parts.iter().enumerate() {
            part.check().map_err(|why| LessonError::OwnPart { number: i + 1, why })?;
            if part_by_name(&part.name).is_some() {
                return Err(LessonError::OwnPartName { number: i + 1, found: part.name.clone() });
            }
        }
        self.knows_part("part", &self.part)?;
        for part in &self.other_parts {
            self.knows_part("other_parts", part)?;
        }
        NAME.check_text(&self.title).map_err(|over| too_much(None, "title", over))?;
        TEXT.check_text(&self.about).map_err(|over| too_much(None, "about", over))?;
        TEXT.check_text(&self.watch_for).map_err(|over| too_much(None, "watch_for", over))?;
        STAGES.check(self.stages.len()).map_err(|over| too_much(None, "stages", over))?;
        if self.stages.is_empty() {
            return Err(LessonError::NoStages);
        }
        if self.kind == LessonKind::Drill && self.causes.is_empty() {
            return Err(LessonError::NoCauses);
        }
        for (i, stage) in self.stages.iter().enumerate() {
            stage.check(i + 1)?;
            if self.kind == LessonKind::Shift && stage.skill.is_some() {
                return Err(LessonError::SkillInShift { stage: i + 1 });
            }
        }
        self.check_draws()?;
        for template in &self.causes {
            if let FaultTemplate::WrongPart { on, part } = template {
                known_part("causes", on)?;
                known_part("causes", part)?;
            }
        }
        Ok(())
    }

    /// The part of this name: one of its own, or one that comes with the program.
    pub fn find_part(&self, name: &str) -> Option<Part> {
        let own = self.own_parts.iter().find(|part| part.name == name).cloned();
        own.or_else(|| part_by_name(name))
    }

    fn knows_part(&self, key: &'static str, name: &str) -> Result<(), LessonError> {
        if self.own_parts.iter().any(|part| part.name == name) {
            return Ok(());
        }
        known_part(key, name)
    }

    /// Every draw has the same words, and none stands where it would tell what was drawn: only the reason
    /// and the praise of a prediction may, and what comes after it.
    fn check_draws(&self) -> Result<(), LessonError> {
        let draws = &self.start.draws;
        let words = |draw: &StartDraw| draw.words.keys().cloned().collect::<BTreeSet<_>>();
        let Some(first) = draws.first().map(words) else { return Ok(()) };
        for draw in draws {
            if let Some(found) = words(draw).symmetric_difference(&first).next() {
                return Err(LessonError::DrawWords { found: found.clone() });
            }
        }
        let told = self.first_prediction().unwrap_or(self.stages.len());
        for (i, stage) in self.stages.iter().enumerate().take(told + 1) {
            for (key, text) in stage.texts() {
                let after = i == told && ["ask.because", "well_done"].contains(&key);
                let tells = |word: &&String| text.contains(&format!("{{{word}}}"));
                if let Some(found) = first.iter().find(tells).filter(|_| !after) {
                    let (stage, found) = (i + 1, found.clone());
                    return Err(LessonError::DrawTold { stage, key, found });
                }
            }
        }
        Ok(())
    }
}

impl Stage {
    fn check(&self, number: usize) -> Result<(), LessonError> {
        let empty = |key| LessonError::EmptyText { stage: number, title: self.title.clone(), key };
        if let Some((key, _)) = self.texts().find(|(_, text)| text.trim().is_empty()) {
            return Err(empty(key));
        }
        for (key, text) in self.texts() {
            TEXT.check_text(text).map_err(|over| too_much(Some(number), key, over))?;
        }
        if let Some(skill) = &self.skill
            && self.skill().is_none()
        {
            let known = Skill::ALL.map(Skill::name).join(", ");
            return Err(LessonError::NoSuchSkill { stage: number, found: skill.clone(), known });
        }
        if let Some(ask) = &self.ask
            && !ask.can_be_answered()
        {
            return Err(LessonError::Choices { stage: number });
        }
        if let Some(ask) = &self.ask
            && let Some(found) = ask.strange_key()
        {
            let known = ask.keys().join(", ");
            return Err(LessonError::NoSuchAnswer { stage: number, found, known });
        }
        if self.ask.is_none() && self.goal == Goal::Answered {
            return Err(LessonError::NoGoal { stage: number });
        }
        Ok(())
    }
}

fn known_part(key: &'static str, name: &str) -> Result<(), LessonError> {
    if part_by_name(name).is_some() {
        return Ok(());
    }
    let known: Vec<_> = parts().into_iter().map(|p| p.name).collect();
    Err(LessonError::NoSuchPart { key, found: name.into(), known: known.join(", ") })
}

fn too_much(stage: Option<usize>, key: &'static str, over: OverLimit) -> LessonError {
    LessonError::TooMuch { stage, key, over }
}
