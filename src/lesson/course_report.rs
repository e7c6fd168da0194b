use super::catalogue::lesson_files;
use super::lesson::Lesson;
use super::progress::GivenAnswer;
use super::record::LessonRecord;
use super::refresher::due;
use super::score::PASS_SCORE;
use crate::coach::MASTERY_PASSES;
use serde::Serialize;

/// What a course system is told of a learner: where they stand in the course.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CourseReport {
    /// Whether every lesson that is asked for is passed.
    pub passed: bool,
    /// The mean of the best scores of these lessons, one not taken yet as 0; `None` before the first.
    pub score: Option<u8>,
    /// Every skill, always in the same order.
    pub skills: Vec<SkillReport>,
}

/// How a skill stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SkillReport {
    /// Its name in files.
    pub name: &'static str,
    /// The share of what the coach asks of it, out of 100.
    pub score: u8,
    /// Whether the coach calls it mastered.
    pub passed: bool,
}

/// A stage of an attempt that is done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StageReport {
    /// Its number, from 1.
    pub number: usize,
    /// Whether its question was answered rightly; `None` where it asks none.
    pub right: Option<bool>,
    /// The answer, from 1.
    pub answer: Option<usize>,
}

impl CourseReport {
    /// Where a learner with these records stands on the day `today`: in the whole course, or in the one
    /// lesson that is asked for.
    pub fn of(records: &[LessonRecord], only: Option<&str>, today: u32) -> Self {
        let names = lesson_files().map(|lesson| lesson.name.as_str());
        let asked: Vec<&str> = only.map_or_else(|| names.collect(), |lesson| vec![lesson]);
        let best =
            |lesson: &&str| records.iter().filter(|r| r.lesson == **lesson).map(|r| r.score).max();
        let scores: Vec<Option<u8>> = asked.iter().map(best).collect();
        let sum: usize = scores.iter().flatten().map(|score| usize::from(*score)).sum();
        let mut skills = due(records, today);
        skills.sort_by_key(|due| due.skill);
        let skill = |in_a_row: usize, mastered| match in_a_row.min(MASTERY_PASSES) {
            _ if mastered => 100,
            // The other parts that mastery asks for are still to come.
            MASTERY_PASSES => 99,
            passes => (100 * passes / MASTERY_PASSES) as u8,
        };
        Self {
            passed: scores.iter().all(|score| score.is_some_and(|score| score >= PASS_SCORE)),
            score: scores.iter().any(Option::is_some).then(|| (sum / scores.len().max(1)) as u8),
            skills: skills
                .iter()
                .map(|due| SkillReport {
                    name: due.skill.name(),
                    score: skill(due.in_a_row, due.mastered),
                    passed: due.mastered,
                })
                .collect(),
        }
    }
}

impl Lesson {
    /// The stages of an attempt of which so many are done, with its answers.
    pub fn stage_reports(&self, done: usize, answers: &[GivenAnswer]) -> Vec<StageReport> {
        let report = |stage: usize| {
            let given = answers.iter().rev().find(|answer| answer.stage == stage);
            StageReport {
                number: stage + 1,
                right: given.and_then(GivenAnswer::was_right),
                answer: given.map(|answer| answer.answer + 1),
            }
        };
        (0..done.min(self.stages.len())).map(report).collect()
    }
}
