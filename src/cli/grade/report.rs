//! What is told of a class.

use nudgeproof::lesson::{BrokenFile, ClassSummary, LearnerRow, Tally, lesson_file};
use nudgeproof::session::Certainty;
use nudgeproof::text::Words;
use serde::Serialize;
use std::fmt::Write as _;

/// What the first key of grades.json says.
pub(super) const FORMAT: &str = "nudgeproof-grades";
/// How many rules and lessons are named in words.
const NAMED: usize = 3;

/// All that is told, as JSON.
#[derive(Serialize)]
pub(super) struct Report<'a> {
    format: &'static str,
    format_version: u32,
    pub(super) learners: &'a [LearnerRow],
    class: ClassSummary,
    /// The first of those that were left out.
    broken: &'a [BrokenFile],
    /// How many were left out.
    left_out: usize,
}

impl<'a> Report<'a> {
    pub(super) fn of(
        learners: &'a [LearnerRow],
        broken: &'a [BrokenFile],
        left_out: usize,
    ) -> Self {
        let class = ClassSummary::of(learners);
        Self { format: FORMAT, format_version: 1, learners, class, broken, left_out }
    }
}

/// The class in words, as the page has them.
pub(super) fn words_of(report: &Report, tables: Option<String>) -> String {
    let learners = report.learners.len();
    let attempts: usize = report.learners.iter().map(|row| row.sessions).sum();
    let count = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    let mut says = format!("{}, {}", count(learners, "learner"), count(attempts, "attempt"));
    match report.left_out {
        0 => says.push('\n'),
        n => _ = writeln!(says, ", {n} left out"),
    }
    let class = &report.class;
    let known = &class.understanding;
    for (certainty, Tally { said, right }) in known.predictions.rows() {
        let certainty: Certainty = certainty;
        if said > 0 {
            let name = certainty.name().replace('_', " ");
            _ = writeln!(says, "predictions, {name}: {right} of {said} right");
        }
    }
    if known.drills > 0 {
        let (first, drills) = (known.causes_at_first_try, known.drills);
        _ = writeln!(says, "causes named at the first try: {first} of {drills}");
    }
    if known.looks > 0 {
        _ = writeln!(says, "looks at the cell: {}", known.looks);
    }
    if known.alarms > 0 {
        let (decisions, alarms) = (known.decisions_at_alarms, known.alarms);
        _ = writeln!(says, "alarms in shifts: {alarms}; looks and stops at them: {decisions}");
    }
    _ = writeln!(says, "hints: {}", known.hints);
    for (rule, n) in class.most_broken.iter().take(NAMED) {
        let title = rule.title(Words::default());
        _ = writeln!(says, "{title}: {n} of {}", count(learners, "learner"));
    }
    if let Some(next) = &class.teach_next {
        let title = |name: &String| lesson_file(name).map(|lesson| lesson.title.clone());
        let titles: Vec<_> = next.lessons.iter().filter_map(title).take(NAMED).collect();
        let (skill, mastered) = (next.skill.label(), class.mastered[&next.skill]);
        _ = writeln!(
            says,
            "teach next: {skill}, mastered by {mastered} of {}. Lessons: {}",
            count(learners, "learner"),
            titles.join("; ")
        );
    }
    _ = match tables {
        Some(tables) => writeln!(says, "tables: {tables}"),
        None => writeln!(says, "--out FOLDER writes a table with a row for each learner"),
    };
    says
}
