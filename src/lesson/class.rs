//! A class: the sessions and records of many learners, and what they come to.

use super::calibration::Calibration;
use super::catalogue::{lesson_files, of_session};
use super::course_test::{TestResult, result_of};
use super::file::{LessonFile, LessonKind};
use super::lesson::Lesson;
use super::record::{LessonRecord, RecordBook};
use super::test_item::TestTime;
use crate::coach::{self, Attempt, MASTERY_PASSES, Review, RuleName, Skill, SkillEstimate};
use crate::io::{from_json, to_csv};
use crate::session::Session;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::AddAssign;
use std::sync::Arc;

/// The files of a class, learner by learner.
#[derive(Debug, Clone, Default)]
pub struct ClassBook {
    /// What each learner did, in the order in which it was added.
    learners: BTreeMap<String, Vec<Graded>>,
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

/// One attempt of a learner.
#[derive(Debug, Clone)]
struct Graded {
    file: String,
    /// Points out of 100.
    score: u8,
    attempt: Attempt,
    /// The worst seam miss of the last run that found a place, mm.
    miss_mm: Option<f64>,
    hints: usize,
    mends: usize,
    predictions: Calibration,
    /// In a drill: whether the first cause named was the right one.
    first_try: Option<bool>,
    /// Whose house rules it was judged by.
    house: Option<String>,
    /// The attempt at a lesson, by lesson and seed.
    of_lesson: Option<(String, u64)>,
}

/// A file of a class, read and ready to be graded.
#[derive(Debug)]
pub enum ClassFile {
    /// A session.
    Session(Box<Session>),
    /// The record of a learner.
    Records(RecordBook),
}

impl ClassFile {
    /// Reads a session file or a record.
    ///
    /// # Errors
    /// What is wrong with it, in one sentence.
    pub fn read(text: &str) -> Result<Self, String> {
        /// The key that tells the kinds apart.
        #[derive(Deserialize)]
        struct Kind {
            format: String,
        }
        let is_record = from_json::<Kind>(text).is_ok_and(|kind| kind.format == RecordBook::FORMAT);
        if is_record {
            RecordBook::from_json(text).map(Self::Records).map_err(|e| e.to_string())
        } else {
            let session = Session::from_json(text).map_err(|e| e.to_string())?;
            Ok(Self::Session(Box::new(session)))
        }
    }
}

/// How a learner stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnerRow {
    /// The name, as typed.
    pub learner: String,
    /// How many attempts there are.
    pub sessions: usize,
    /// Points out of 100.
    pub best_score: u8,
    /// Points out of 100.
    pub latest_score: u8,
    /// In how many the weld landed.
    pub landed: usize,
    /// The worst seam miss of the latest attempt, mm.
    pub latest_miss_mm: Option<f64>,
    /// The same of each.
    pub misses_mm: Vec<Option<f64>>,
    /// What was understood.
    #[serde(flatten)]
    pub understanding: Understanding,
    /// How many mends the coach was asked for.
    pub mends: usize,
    /// Whose house rules they were judged by.
    pub house_rules: BTreeSet<String>,
    /// In how many attempts each rule was broken.
    pub findings: BTreeMap<RuleName, usize>,
    /// How each skill stands.
    pub skills: BTreeMap<Skill, SkillEstimate>,
    /// The test before the course.
    pub test_before: Option<TestResult>,
    /// The test after it.
    pub test_after: Option<TestResult>,
    /// Names of the files.
    pub files: Vec<String>,
}

/// What attempts show of understanding, beside scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Understanding {
    /// Predictions right, by how sure the learner was.
    pub predictions: Calibration,
    /// How many drills there were.
    pub drills: usize,
    /// In how many of them the first cause named was the right one.
    pub causes_at_first_try: usize,
    /// How many hints were asked for.
    pub hints: usize,
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
        match ClassFile::read(text) {
            Ok(ClassFile::Session(session)) => {
                let review = coach::review(&session);
                self.add_session(file, &session, &review);
            }
            Ok(ClassFile::Records(book)) => self.add_records(file, &book),
            Err(problem) => self.add_broken(file, problem),
        }
    }

    /// Adds a session with the coach's review of it.
    pub fn add_session(&mut self, file: &str, session: &Session, review: &Review) {
        let learner = learner(session.header().learner.as_deref(), file);
        self.learners.entry(learner).or_default().push(graded(file, session, review));
    }

    /// Adds a learner's record. Attempts whose session is there too count once.
    pub fn add_records(&mut self, file: &str, book: &RecordBook) {
        let all = self.learners.entry(learner(book.learner.as_deref(), file)).or_default();
        for record in &book.records {
            let of_lesson = Some((record.lesson.clone(), record.seed));
            if all.iter().all(|graded| graded.of_lesson != of_lesson) {
                all.push(recorded(file, record));
            }
        }
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
        self.learners.iter().filter_map(|(name, all)| row(name, all)).collect()
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

/// The name a file gives, or else its own without folders and ending.
fn learner(named: Option<&str>, file: &str) -> String {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    named.map(str::trim).filter(|name| !name.is_empty()).unwrap_or(stem).to_owned()
}

fn graded(file: &str, session: &Session, review: &Review) -> Graded {
    let (state, lesson) = (session.state(), of_session(session));
    // Of a shift the coach sees the reference run alone, and in a test the answer counts.
    let own_score = [LessonKind::Shift, LessonKind::Test];
    let of_shift = lesson.as_ref().filter(|l| own_score.contains(&l.kind));
    let score = of_shift.map_or(review.score.total, |l| l.score(session).total);
    let predictions = |l: &Lesson| l.calibration(&l.answers(session));
    let header = session.header();
    Graded {
        file: file.into(),
        score,
        attempt: Attempt::of(session, review),
        // As on the record page.
        miss_mm: state.runs.iter().rfind(|r| r.found().is_some()).and_then(|r| r.worst_miss()),
        hints: state.hints.len(),
        mends: state.mended.len(),
        predictions: lesson.as_ref().map(predictions).unwrap_or_default(),
        first_try: lesson.and_then(|l| l.causes_at_first_try(session)),
        house: header.house_rules.as_ref().map(|house| house.name.clone()),
        of_lesson: header.lesson.clone().map(|lesson| (lesson, header.seed)),
    }
}

fn recorded(file: &str, record: &LessonRecord) -> Graded {
    Graded {
        file: file.into(),
        score: record.score,
        attempt: record.attempt.clone(),
        miss_mm: record.miss_mm,
        hints: record.hints,
        mends: 0,
        predictions: record.predictions,
        first_try: record.first_try,
        house: record.house_rules.clone(),
        of_lesson: Some((record.lesson.clone(), record.seed)),
    }
}

impl Graded {
    /// When the test was taken that it is a task of.
    fn test(&self) -> Option<TestTime> {
        TestTime::of(&self.of_lesson.as_ref()?.0)
    }

    fn understanding(&self) -> Understanding {
        Understanding {
            predictions: self.predictions,
            drills: self.first_try.is_some().into(),
            causes_at_first_try: (self.first_try == Some(true)).into(),
            hints: self.hints,
        }
    }
}

impl AddAssign for Understanding {
    fn add_assign(&mut self, more: Self) {
        self.predictions += more.predictions;
        self.drills += more.drills;
        self.causes_at_first_try += more.causes_at_first_try;
        self.hints += more.hints;
    }
}

fn row(name: &str, of_learner: &[Graded]) -> Option<LearnerRow> {
    if of_learner.is_empty() {
        return None;
    }
    // Tests say what the course has done: they are no practice, and stand by themselves.
    let (tests, all): (Vec<&Graded>, Vec<&Graded>) =
        of_learner.iter().partition(|g| g.test().is_some());
    let task =
        |g: &&Graded| g.of_lesson.as_ref().map(|(name, seed)| (name.clone(), *seed, g.score));
    let tasks: Vec<_> = tests.iter().filter_map(task).collect();
    let result = |time| result_of(tasks.iter().map(|(n, seed, score)| (&**n, *seed, *score)), time);
    let attempts: Vec<Attempt> = all.iter().map(|g| g.attempt.clone()).collect();
    let mut findings = BTreeMap::new();
    for rule in attempts.iter().flat_map(|a| &a.findings).filter_map(|rule| rule.parse().ok()) {
        *findings.entry(rule).or_default() += 1;
    }
    let mut understanding = Understanding::default();
    for graded in &all {
        understanding += graded.understanding();
    }
    let latest = all.last();
    Some(LearnerRow {
        learner: name.into(),
        sessions: all.len(),
        best_score: all.iter().map(|g| g.score).max().unwrap_or_default(),
        latest_score: latest.map_or(0, |g| g.score),
        landed: attempts.iter().filter(|a| a.landed).count(),
        latest_miss_mm: latest.and_then(|g| g.miss_mm),
        misses_mm: all.iter().map(|g| g.miss_mm).collect(),
        understanding,
        mends: all.iter().map(|g| g.mends).sum(),
        house_rules: all.iter().filter_map(|g| g.house.clone()).collect(),
        findings,
        skills: coach::mastery(&attempts).into_iter().map(|e| (e.skill, e)).collect(),
        test_before: result(TestTime::Before),
        test_after: result(TestTime::After),
        files: of_learner
            .iter()
            .map(|g| g.file.clone())
            .collect::<BTreeSet<_>>()
            .into_iter()
            .collect(),
    })
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

/// The heads of the columns before those of predictions.
const HEADS: [&str; 12] = [
    "learner",
    "sessions",
    "best_score",
    "latest_score",
    "landed",
    "latest_miss_mm",
    "hints",
    "mends",
    "drills",
    "causes_at_first_try",
    "test_before",
    "test_after",
];

/// A table of learners as comma-separated values (RFC 4180). The column of a skill is "2 of 3" (passes
/// in a row), or "mastered" once there are enough passes on enough parts.
pub fn class_to_csv(rows: &[LearnerRow]) -> String {
    let head = HEADS.map(str::to_owned).into_iter().chain(Calibration::heads());
    let head = head.chain(Skill::ALL.map(|s| s.name().to_owned()));
    let head = head.chain(["findings", "house_rules"].map(str::to_owned)).collect();
    to_csv(std::iter::once(head).chain(rows.iter().map(cells)))
}

fn cells(row: &LearnerRow) -> Vec<String> {
    let known = &row.understanding;
    let mut cells = vec![
        no_formula(&row.learner),
        row.sessions.to_string(),
        row.best_score.to_string(),
        row.latest_score.to_string(),
        row.landed.to_string(),
        row.latest_miss_mm.map(|mm| mm.to_string()).unwrap_or_default(),
        known.hints.to_string(),
        row.mends.to_string(),
        known.drills.to_string(),
        known.causes_at_first_try.to_string(),
        test_cell(row.test_before),
        test_cell(row.test_after),
    ];
    cells.extend(known.predictions.cells());
    cells.extend(Skill::ALL.map(|skill| {
        let estimate = &row.skills[&skill];
        if estimate.mastered {
            return "mastered".into();
        }
        format!("{} of {MASTERY_PASSES}", estimate.in_a_row.min(MASTERY_PASSES))
    }));
    let findings: Vec<_> = row.findings.iter().map(|(rule, n)| format!("{rule} {n}")).collect();
    cells.push(findings.join("; "));
    let houses: Vec<_> = row.house_rules.iter().map(|name| no_formula(name)).collect();
    cells.push(houses.join("; "));
    cells
}

/// A test as "4 of 6"; empty if there was none.
fn test_cell(result: Option<TestResult>) -> String {
    result.map_or_else(String::new, |TestResult { right, of }| format!("{right} of {of}"))
}

/// A text that no spreadsheet reads as a formula.
fn no_formula(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if formula { format!("'{text}") } else { text.to_owned() }
}
