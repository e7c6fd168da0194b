//! How one learner stands, counted attempt by attempt: what grows with them is a few bytes each.

use super::calibration::Calibration;
use super::course_test::{FirstTest, TestResult};
use super::grading::GradedAttempt;
use super::refresher::practises;
use super::test_item::TestTime;
use crate::coach::{Mastery, RuleName, Skill, SkillEstimate};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::ops::AddAssign;

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
    /// How many times they looked at the cell to find out what is wrong.
    pub looks: usize,
    /// Parts of shifts that were not found, whose touches disagreed, or whose offset was outside the limits.
    pub alarms: usize,
    /// Looks and stops at these.
    pub decisions_at_alarms: usize,
}

impl AddAssign for Understanding {
    fn add_assign(&mut self, more: Self) {
        self.predictions += more.predictions;
        self.drills += more.drills;
        self.causes_at_first_try += more.causes_at_first_try;
        // A record from outside may say anything.
        for (mine, more) in [
            (&mut self.hints, more.hints),
            (&mut self.looks, more.looks),
            (&mut self.alarms, more.alarms),
            (&mut self.decisions_at_alarms, more.decisions_at_alarms),
        ] {
            *mine = mine.saturating_add(more);
        }
    }
}

/// The attempts of one learner so far.
#[derive(Debug, Clone, Default)]
pub(super) struct LearnerTally {
    sessions: usize,
    best: u8,
    latest: u8,
    landed: usize,
    latest_miss_mm: Option<f64>,
    understanding: Understanding,
    mends: usize,
    house_rules: BTreeSet<String>,
    findings: BTreeMap<RuleName, usize>,
    mastery: Mastery,
    /// The test before the course, and the one after it.
    tests: [FirstTest; TestTime::ALL.len()],
    /// Attempts at lessons that were counted, by a hash of lesson and seed; whether a record told of them.
    counted: HashMap<u64, bool>,
}

impl LearnerTally {
    /// Counts an attempt, the oldest first. One that both a session and a record tell of counts once; two
    /// sessions are two attempts.
    pub(super) fn add(&mut self, graded: &GradedAttempt, record: bool) {
        if let Some(of_lesson) = &graded.of_lesson {
            let mut hasher = DefaultHasher::new();
            of_lesson.hash(&mut hasher);
            let of_lesson = hasher.finish();
            match (self.counted.get(&of_lesson), record) {
                (Some(_), true) => return,
                // From now on another session of this attempt is an attempt more.
                (Some(true), false) => {
                    self.counted.insert(of_lesson, false);
                    return;
                }
                _ => self.counted.insert(of_lesson, record),
            };
        }
        // Tests say what the course has done: they are no practice, and stand by themselves.
        if let Some((name, seed)) = &graded.of_lesson
            && let Some(time) = TestTime::of(name)
        {
            return self.tests[time as usize].add(*seed, graded.score);
        }
        self.sessions += 1;
        self.best = self.best.max(graded.score);
        self.latest = graded.score;
        self.landed += usize::from(graded.attempt.landed);
        self.latest_miss_mm = graded.miss_mm;
        let shift = graded.shift.unwrap_or_default();
        self.understanding += Understanding {
            predictions: graded.predictions,
            drills: graded.first_try.is_some().into(),
            causes_at_first_try: (graded.first_try == Some(true)).into(),
            hints: graded.hints,
            looks: graded.looks,
            alarms: shift.alarms,
            decisions_at_alarms: shift.decisions_at_alarms,
        };
        self.mends += graded.mends;
        if let Some(house) = &graded.house {
            self.house_rules.insert(house.clone());
        }
        for rule in graded.attempt.findings.iter().filter_map(|rule| rule.parse().ok()) {
            *self.findings.entry(rule).or_default() += 1;
        }
        // A job of one's own practises every skill.
        let lesson = graded.of_lesson.as_ref().map(|(name, _)| name.as_str());
        let practised = |skill| lesson.is_none_or(|lesson| practises(lesson, skill));
        self.mastery.add(&graded.attempt, practised);
    }

    /// How the learner of this name stands.
    pub(super) fn row(&self, learner: &str) -> LearnerRow {
        let test = |time: TestTime| self.tests[time as usize].result();
        LearnerRow {
            learner: learner.into(),
            sessions: self.sessions,
            best_score: self.best,
            latest_score: self.latest,
            landed: self.landed,
            latest_miss_mm: self.latest_miss_mm,
            understanding: self.understanding,
            mends: self.mends,
            house_rules: self.house_rules.clone(),
            findings: self.findings.clone(),
            skills: self.mastery.estimates().into_iter().map(|e| (e.skill, e)).collect(),
            test_before: test(TestTime::Before),
            test_after: test(TestTime::After),
        }
    }
}
