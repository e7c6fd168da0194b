//! A class: the sessions and records of many learners, and what they come to.

use super::catalogue::lesson_files;
use super::course_test::TestResult;
use super::file::LessonFile;
use super::grading::GradedFile;
use super::learner::{LearnerRow, LearnerTally, Understanding};
use super::record::RecordBook;
use crate::coach::{self, Review, RuleName, Skill};
use crate::session::Session;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What the files of a class come to, learner by learner. The files themselves are not kept.
#[derive(Debug, Clone, Default)]
pub struct ClassBook {
    learners: BTreeMap<String, LearnerTally>,
    /// Files that could not be read.
    broken: Vec<BrokenFile>,
}

/// A file that could not be read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BrokenFile {
    /// Its name.
    pub file: String,
    /// What is wrong with it, in one sentence.
    pub problem: String,
}

/// How a class stands as a whole.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClassSummary {
    /// What all attempts show of understanding.
    #[serde(flatten)]
    pub understanding: Understanding,
    /// The tests before the course, of all who took one.
    pub test_before: TestResult,
    /// The tests after it.
    pub test_after: TestResult,
    /// The rules that most learners break, and how many do; the most first.
    pub most_broken: Vec<(RuleName, usize)>,
    /// How many have mastered each skill.
    pub mastered: BTreeMap<Skill, usize>,
    /// The skill to teach next, and the lessons about it.
    pub teach_next: Option<TeachNext>,
}

/// What a class needs most.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TeachNext {
    /// The skill that most learners lack.
    pub skill: Skill,
    /// Names of the lessons that practise it, those about its most broken rules first.
    pub lessons: Vec<String>,
}

impl ClassBook {
    /// Adds a file; its learner is the one it names, or else the name of the file.
    pub fn add(&mut self, file: &str, text: &str) {
        match GradedFile::read(file, text) {
            Ok(graded) => self.add_graded(&graded),
            Err(problem) => self.add_broken(file, problem),
        }
    }

    /// Adds a file that is judged already. Files of one learner are attempts one after the other, in the
    /// order in which they are added.
    pub fn add_graded(&mut self, file: &GradedFile) {
        if file.attempts.is_empty() {
            return;
        }
        let learner = self.learners.entry(file.learner.clone()).or_default();
        for attempt in &file.attempts {
            learner.add(attempt, file.records);
        }
    }

    /// Adds a session with the coach's review of it.
    pub fn add_session(&mut self, file: &str, session: &Session, review: &Review) {
        self.add_graded(&GradedFile::of_session(file, session, review));
    }

    /// Adds a learner's record. Attempts whose session is there too count once.
    pub fn add_records(&mut self, file: &str, book: &RecordBook) {
        self.add_graded(&GradedFile::of_records(file, book));
    }

    /// Adds a file that cannot be read.
    pub fn add_broken(&mut self, file: &str, problem: String) {
        self.broken.push(BrokenFile { file: file.into(), problem });
    }

    /// The files that could not be read.
    pub fn broken(&self) -> &[BrokenFile] {
        &self.broken
    }

    /// A row for each learner who did something, in the order of their names.
    pub fn rows(&self) -> Vec<LearnerRow> {
        self.learners.iter().map(|(name, tally)| tally.row(name)).collect()
    }
}

impl ClassSummary {
    /// How the class of these learners stands as a whole.
    pub fn of(rows: &[LearnerRow]) -> Self {
        let mut broken: BTreeMap<RuleName, usize> = BTreeMap::new();
        for rule in rows.iter().flat_map(|row| row.findings.keys()) {
            *broken.entry(*rule).or_default() += 1;
        }
        let mut most_broken: Vec<_> = broken.into_iter().collect();
        // Stable: equally many stay in the order of the catalogue.
        most_broken.sort_by_key(|(_, learners)| std::cmp::Reverse(*learners));
        let having = |skill| rows.iter().filter(|row| row.skills[&skill].mastered).count();
        let mastered: BTreeMap<Skill, usize> =
            Skill::ALL.into_iter().map(|skill| (skill, having(skill))).collect();
        let mut understanding = Understanding::default();
        for row in rows {
            understanding += row.understanding;
        }
        let tests = |of: fn(&LearnerRow) -> Option<TestResult>| {
            let mut all = TestResult::default();
            rows.iter().filter_map(of).for_each(|result| all += result);
            all
        };
        let (test_before, test_after) = (tests(|row| row.test_before), tests(|row| row.test_after));
        let teach_next = teach_next(rows, &mastered, &most_broken);
        Self { understanding, test_before, test_after, most_broken, mastered, teach_next }
    }
}

/// The skill that the fewest have mastered; of several, the one whose rules are broken most.
fn teach_next(
    rows: &[LearnerRow],
    mastered: &BTreeMap<Skill, usize>,
    most_broken: &[(RuleName, usize)],
) -> Option<TeachNext> {
    let lacking = Skill::ALL.into_iter().filter(|skill| mastered[skill] < rows.len());
    let broken_of = |skill: Skill| -> usize {
        let of_skill = most_broken.iter().filter(|(name, _)| coach::rule(*name).skill == skill);
        of_skill.map(|(_, learners)| learners).sum()
    };
    let skill = lacking.min_by_key(|s| (mastered[s], std::cmp::Reverse(broken_of(*s))))?;
    let practises = |file: &&Arc<LessonFile>| file.stages.iter().any(|s| s.skill() == Some(skill));
    let about = |file: &Arc<LessonFile>| -> usize {
        let broken = most_broken.iter().filter(|(name, _)| file.rules.contains(name));
        broken.map(|(_, learners)| learners).sum()
    };
    let mut lessons: Vec<_> = lesson_files().filter(practises).collect();
    lessons.sort_by_key(|file| std::cmp::Reverse(about(file)));
    Some(TeachNext { skill, lessons: lessons.iter().map(|file| file.name.clone()).collect() })
}
