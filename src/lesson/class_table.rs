//! The rows of a class as a table: one list of columns for every kind of file.

use super::calibration::Calibration;
use super::course_test::TestResult;
use super::learner::LearnerRow;
use crate::coach::{MASTERY_PASSES, Skill};
use crate::io::to_csv;

/// A cell of the table. A column has cells of one kind.
#[derive(Debug, Clone, PartialEq)]
pub enum ClassCell {
    /// Words.
    Text(String),
    /// A number of something.
    Count(usize),
    /// A length in mm, or nothing.
    Length(Option<f64>),
}

/// The heads of the columns before those of predictions.
const HEADS: [&str; 15] = [
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
    "looks",
    "alarms",
    "decisions_at_alarms",
    "test_before",
    "test_after",
];

/// The heads of the columns.
pub fn class_heads() -> Vec<String> {
    let head = HEADS.map(str::to_owned).into_iter().chain(Calibration::heads());
    let head = head.chain(Skill::ALL.map(|s| s.name().to_owned()));
    head.chain(["findings", "house_rules"].map(str::to_owned)).collect()
}

impl LearnerRow {
    /// The cells under [`class_heads`]. That of a skill is "2 of 3" (passes in a row), or "mastered" once
    /// there are enough passes on enough parts.
    pub fn cells(&self) -> Vec<ClassCell> {
        use ClassCell::{Count, Length, Text};
        let known = &self.understanding;
        let mut cells = vec![
            Text(self.learner.clone()),
            Count(self.sessions),
            Count(self.best_score.into()),
            Count(self.latest_score.into()),
            Count(self.landed),
            Length(self.latest_miss_mm),
            Count(known.hints),
            Count(self.mends),
            Count(known.drills),
            Count(known.causes_at_first_try),
            Count(known.looks),
            Count(known.alarms),
            Count(known.decisions_at_alarms),
            Text(test_cell(self.test_before)),
            Text(test_cell(self.test_after)),
        ];
        cells.extend(known.predictions.cells().map(Count));
        cells.extend(Skill::ALL.map(|skill| Text(self.skill_cell(skill))));
        let findings = self.findings.iter().map(|(rule, n)| format!("{rule} {n}"));
        cells.push(Text(findings.collect::<Vec<_>>().join("; ")));
        cells.push(Text(self.house_rules.iter().cloned().collect::<Vec<_>>().join("; ")));
        cells
    }

    fn skill_cell(&self, skill: Skill) -> String {
        let estimate = &self.skills[&skill];
        if estimate.mastered {
            return "mastered".into();
        }
        format!("{} of {MASTERY_PASSES}", estimate.in_a_row.min(MASTERY_PASSES))
    }
}

/// A test as "4 of 6"; empty if there was none.
fn test_cell(result: Option<TestResult>) -> String {
    result.map_or_else(String::new, |TestResult { right, of }| format!("{right} of {of}"))
}

/// The table as comma-separated values (RFC 4180).
pub fn class_to_csv(rows: &[LearnerRow]) -> String {
    let text = |cell| match cell {
        ClassCell::Text(text) => text,
        ClassCell::Count(count) => count.to_string(),
        ClassCell::Length(mm) => mm.map(|mm| mm.to_string()).unwrap_or_default(),
    };
    let cells = |row: &LearnerRow| row.cells().into_iter().map(text).collect();
    to_csv(std::iter::once(class_heads()).chain(rows.iter().map(cells)))
}
