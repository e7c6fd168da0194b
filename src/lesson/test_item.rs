//! A task of a test: one stage of a lesson, on a part of its own, without help.

use super::file::{LessonFile, LessonKind};
use super::lesson::{Lesson, split_name, stage_name};
use crate::cell::part_by_name;
use serde::Serialize;
use std::sync::Arc;
use strum::IntoStaticStr;

/// When a test is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum TestTime {
    /// Before the course.
    Before,
    /// After it.
    After,
}

impl TestTime {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Before, Self::After];

    /// Its name in files.
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// When the test was taken whose task has this name; `None` if it is none of a test.
    pub fn of(name: &str) -> Option<Self> {
        let (time, _) = name.split_once('/')?;
        Self::ALL.into_iter().find(|t| t.name() == time)
    }
}

/// A task of a test. Its name says all of it: `before/turn#6@bin-door`.
pub(super) fn item(
    time: TestTime,
    file: &LessonFile,
    stage: usize,
    part: &str,
    seed: u64,
) -> Option<Lesson> {
    let other = Arc::new(file.with_part(part));
    let mut item = Lesson::of_file(&other, seed).ok()?.single_stage(stage).ok()?;
    item.name = format!("{}/{}@{part}", time.name(), stage_name(&file.name, stage));
    item.kind = LessonKind::Test;
    item.start.belongs_to(&item.name);
    Some(item)
}

/// The task of that name and seed; `file` finds a lesson by its name.
pub(super) fn named<'f>(
    name: &str,
    seed: u64,
    file: impl Fn(&str) -> Option<&'f Arc<LessonFile>>,
) -> Option<Lesson> {
    let time = TestTime::of(name)?;
    let (_, rest) = name.split_once('/')?;
    let (stage, part) = rest.split_once('@')?;
    let (lesson, stage) = split_name(stage);
    let file = file(lesson)?;
    let stage = stage.filter(|n| *n < file.stages.len())?;
    part_by_name(part)?;
    item(time, file, stage, part, seed)
}
