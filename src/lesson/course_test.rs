//! The test before the course and the one after it: short tasks out of its lessons, on parts that those
//! lessons do not draw, with no help. Both ask for the same skills.

use super::ask::WhichRun;
use super::catalogue::lesson_files;
use super::file::{LessonFile, LessonKind};
use super::goal::Goal;
use super::lesson::Lesson;
use super::record::LessonRecord;
use super::test_item::{TestTime, item};
use crate::cell::{Part, part_by_name, parts};
use crate::coach::Skill;
use serde::Serialize;
use std::ops::AddAssign;
use std::sync::Arc;

/// The skills that each test asks for, one task each: those of which there are fewest tasks come first.
/// To write a routine takes longer than a test may.
const SKILLS: [Skill; 6] = [
    Skill::KeepFrame,
    Skill::PlanTouches,
    Skill::RunReference,
    Skill::ReadResult,
    Skill::ReadResult,
    Skill::ReadResult,
];
/// How many tasks a test has.
pub const TEST_ITEMS: usize = SKILLS.len();

/// How a test came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct TestResult {
    /// Tasks done rightly.
    pub right: usize,
    /// Tasks taken, those that were left out among them.
    pub of: usize,
}

impl AddAssign for TestResult {
    fn add_assign(&mut self, more: Self) {
        self.right += more.right;
        self.of += more.of;
    }
}

/// A stage that a test may ask for: of a guided lesson, with a prediction, or with a reading of what is
/// there when the task begins.
type Candidate = (&'static Arc<LessonFile>, usize);

fn candidates(skill: Skill) -> Vec<Candidate> {
    let suits = |f: &&Arc<LessonFile>| f.kind == LessonKind::Guided && !f.draws_held_back();
    let of_file = |file: &'static Arc<LessonFile>| {
        let stages = file.stages.iter().enumerate();
        let asks = stages.filter(move |(_, s)| {
            let at_once = s.goal == Goal::Answered;
            s.ask.as_ref().is_some_and(|ask| ask.run == WhichRun::Next || at_once)
                && s.skill() == Some(skill)
        });
        asks.map(move |(i, _)| (file, i))
    };
    lesson_files().filter(suits).flat_map(of_file).collect()
}

/// The tasks of the test of this seed: no lesson twice. Each is drawn when it is asked for, which takes as
/// long as a few runs: it is tried whether it can be done.
pub fn course_test(time: TestTime, seed: u64) -> impl Iterator<Item = Lesson> {
    let mut taken: Vec<&str> = Vec::new();
    SKILLS.into_iter().enumerate().filter_map(move |(n, skill)| {
        let mut all = candidates(skill);
        let count = all.len().max(1) as u64;
        all.rotate_left((seed % count) as usize);
        let number = seed.wrapping_mul(TEST_ITEMS as u64).wrapping_add(n as u64);
        let mut open = all.into_iter().filter(|(file, _)| !taken.contains(&&*file.name));
        let (file, item) = open
            .find_map(|(file, stage)| Some((file, on_another_part(time, file, stage, number)?)))?;
        taken.push(&file.name);
        Some(item)
    })
}

/// The stage on a part that its lesson does not draw, and on which it can be done.
fn on_another_part(
    time: TestTime,
    file: &Arc<LessonFile>,
    stage: usize,
    seed: u64,
) -> Option<Lesson> {
    let own = part_by_name(&file.part)?;
    let moves_alike = |part: &Part| part.play.freedoms() == own.play.freedoms();
    let is_new = |part: &Part| part.name != file.part && !file.other_parts.contains(&part.name);
    let mut pool: Vec<Part> = parts().into_iter().filter(|p| moves_alike(p) && is_new(p)).collect();
    pool.retain(|part| part.fine_places().is_empty());
    let n = pool.len().max(1) as u64;
    pool.rotate_left((seed % n) as usize);
    pool.iter().find_map(|part| {
        let item = item(time, file, stage, &part.name, seed)?;
        let solved = item.solved().ok()?;
        (item.progress(&solved).finished() && item.score(&solved).total == 100).then_some(item)
    })
}

/// The first test of one time that a learner took: later, the tasks are known.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct FirstTest {
    /// Which test it was, and how it came out; `None` before its first task.
    taken: Option<(u64, TestResult)>,
}

impl FirstTest {
    /// Counts a task: its test by the seed, whether it was done rightly by the score.
    pub(super) fn add(&mut self, seed: u64, score: u8) {
        let test = seed / TEST_ITEMS as u64;
        let (first, result) = self.taken.get_or_insert((test, TestResult::default()));
        if *first == test {
            *result += TestResult { right: usize::from(score == 100), of: 1 };
        }
    }

    /// How it came out; `None` if none was taken.
    pub(super) fn result(self) -> Option<TestResult> {
        self.taken.map(|(_, result)| result)
    }
}

/// How a learner's test came out; `None` if there was none.
pub fn test_result(records: &[LessonRecord], time: TestTime) -> Option<TestResult> {
    let mut first = FirstTest::default();
    for record in records.iter().filter(|r| TestTime::of(&r.lesson) == Some(time)) {
        first.add(record.seed, record.score);
    }
    first.result()
}
