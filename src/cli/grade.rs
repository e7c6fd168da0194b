//! `nudgeproof grade FOLDER`: a table of a folder of session files, one row for each learner.

use crate::files::read_session;
use crate::output::{Problem, print};
use nudgeproof::coach::{self, Attempt, MASTERY_PASSES, Review, Skill, SkillEstimate};
use nudgeproof::io::to_json;
use nudgeproof::lesson::{Calibration, Lesson, of_session};
use nudgeproof::session::{Certainty, Session};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Arguments of `grade`.
#[derive(clap::Args)]
pub(crate) struct GradeArgs {
    /// Folder of session files, as the page exports them; in the order of their names, each
    /// learner's are taken for attempts one after the other
    folder: PathBuf,
    /// Folder for grades.csv and grades.json; the same folder if left out
    #[arg(long)]
    out: Option<PathBuf>,
}

/// Names of the files it writes.
const CSV: &str = "grades.csv";
const JSON: &str = "grades.json";

/// One session of a learner.
struct Graded {
    file: String,
    review: Review,
    attempt: Attempt,
    miss_mm: Option<f64>,
    hints: usize,
    mends: usize,
    /// Predictions, where the session is an attempt at a lesson.
    predictions: Calibration,
    /// In a drill: whether the first cause named was the right one.
    first_try: Option<bool>,
    /// Whose house rules it was judged by.
    house: Option<String>,
}

impl GradeArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let mut learners: BTreeMap<String, Vec<Graded>> = BTreeMap::new();
        let mut broken: Vec<Value> = Vec::new();
        for path in session_files(&self.folder)? {
            let file = path.strip_prefix(&self.folder).unwrap_or(&path).display().to_string();
            match read_session(&path) {
                Ok(session) => {
                    let named = session.header().learner.as_deref().map(str::trim);
                    let stem = path.file_stem().map(|s| s.to_string_lossy().into_owned());
                    let learner = named.filter(|n| !n.is_empty()).map(str::to_owned);
                    let learner = learner.or(stem).unwrap_or_default();
                    learners.entry(learner).or_default().push(graded(file, &session));
                }
                Err(problem) => {
                    eprintln!("nudgeproof: left out: {problem}");
                    broken.push(json!({ "file": file, "problem": problem }));
                }
            }
        }
        let out = self.out.as_ref().unwrap_or(&self.folder);
        let rows: Vec<Value> = learners.iter().map(|(name, all)| row(name, all)).collect();
        let table = json!({
            "format": "nudgeproof-grades",
            "format_version": 1,
            "learners": rows,
            "class": understanding(learners.values().flatten()),
            "broken": broken,
        });
        let spreadsheet = csv(&rows)
            .map_err(|e| format!("{CSV}: expected to write the table, and could not: {e}"))?;
        write(&out.join(CSV), &spreadsheet)?;
        write(&out.join(JSON), &(to_json(&table) + "\n"))?;
        let sessions: usize = learners.values().map(Vec::len).sum();
        print(&class_lines(&table["class"]))?;
        print(&format!(
            "{} learners, {sessions} sessions, {} files left out: {} and {}\n",
            learners.len(),
            broken.len(),
            out.join(CSV).display(),
            out.join(JSON).display(),
        ))
    }
}

/// The JSON files below a folder, sorted by name, without those that this command writes.
fn session_files(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let entries = fs::read_dir(folder).map_err(|e| {
        format!(
            "{}: expected a folder of session files, and could not read it: {e}",
            folder.display()
        )
    })?;
    let mut files = Vec::new();
    for path in entries.filter_map(|e| e.ok().map(|e| e.path())) {
        if path.is_dir() {
            files.extend(session_files(&path)?);
        } else if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("json"))
            && path.file_name().is_some_and(|n| n != JSON)
        {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

fn graded(file: String, session: &Session) -> Graded {
    let review = coach::review(session);
    let attempt = Attempt::of(session, &review);
    let state = session.state();
    // The last run that found a place, as on the record page.
    let miss_mm =
        state.runs.iter().rev().find(|r| r.found().is_some()).and_then(|r| r.worst_miss());
    let house = session.header().house_rules.as_ref().map(|house| house.name.clone());
    let (hints, mends) = (state.hints.len(), state.mended.len());
    let lesson = of_session(session);
    let answered = |l: &Lesson| l.calibration(&l.answers(session));
    let predictions = lesson.as_ref().map(answered).unwrap_or_default();
    let first_try = lesson.and_then(|l| l.cause_at_first_try(session));
    Graded { file, review, attempt, miss_mm, hints, mends, predictions, first_try, house }
}

/// Predictions right by how sure, causes named at the first try, and hints, of these sessions.
fn understanding<'a>(all: impl Iterator<Item = &'a Graded> + Clone) -> Value {
    let mut predictions = Calibration::default();
    all.clone().for_each(|g| predictions += g.predictions);
    let drills = all.clone().filter_map(|g| g.first_try);
    json!({
        "predictions": predictions,
        "drills": drills.clone().count(),
        "causes_at_first_try": drills.filter(|right| *right).count(),
        "hints": all.map(|g| g.hints).sum::<usize>(),
    })
}

/// The same of the whole class, to be read.
fn class_lines(class: &Value) -> String {
    let line = |certainty: Certainty| {
        let tally = &class["predictions"][certainty.name()];
        let name = certainty.name().replace('_', " ");
        format!("predictions, {name}: {} of {} right\n", tally["right"], tally["said"])
    };
    let sure: String = Certainty::ALL.into_iter().map(line).collect();
    let (first, drills) = (&class["causes_at_first_try"], &class["drills"]);
    format!("{sure}causes named at the first try: {first} of {drills}\nhints: {}\n", class["hints"])
}

fn row(name: &str, all: &[Graded]) -> Value {
    let attempts: Vec<Attempt> = all.iter().map(|g| g.attempt.clone()).collect();
    let skills: serde_json::Map<String, Value> = coach::mastery(&attempts)
        .iter()
        .map(|e: &SkillEstimate| {
            let of = json!({ "in_a_row": e.in_a_row, "parts": e.parts, "mastered": e.mastered });
            (e.skill.name().to_owned(), of)
        })
        .collect();
    let mut findings: BTreeMap<&str, usize> = BTreeMap::new();
    for rule in all.iter().flat_map(|g| &g.attempt.findings) {
        *findings.entry(rule).or_default() += 1;
    }
    let latest = all.last();
    let understanding = understanding(all.iter());
    let houses: BTreeSet<&str> = all.iter().filter_map(|g| g.house.as_deref()).collect();
    json!({
        "learner": name,
        "sessions": all.len(),
        "best_score": all.iter().map(|g| g.review.score.total).max(),
        "latest_score": latest.map(|g| g.review.score.total),
        "landed": all.iter().filter(|g| g.attempt.landed).count(),
        "latest_miss_mm": latest.and_then(|g| g.miss_mm),
        "misses_mm": all.iter().map(|g| g.miss_mm).collect::<Vec<_>>(),
        "hints": understanding["hints"],
        "predictions": understanding["predictions"],
        "drills": understanding["drills"],
        "causes_at_first_try": understanding["causes_at_first_try"],
        "house_rules": houses,
        "mends": all.iter().map(|g| g.mends).sum::<usize>(),
        "findings": findings,
        "skills": skills,
        "files": all.iter().map(|g| g.file.clone()).collect::<Vec<_>>(),
    })
}

/// The columns that are copied unchanged.
const PLAIN: [&str; 10] = [
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
];

/// Comma-separated values (RFC 4180). The column of a skill is "2 of 3" (passes in a row), or
/// "mastered" once there are enough passes on enough parts.
fn csv(rows: &[Value]) -> Result<String, csv::Error> {
    let mut out =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let sure =
        Certainty::ALL.map(|c| [format!("{}_said", c.name()), format!("{}_right", c.name())]);
    let head = PLAIN.iter().copied().chain(sure.iter().flatten().map(String::as_str));
    out.write_record(head.chain(Skill::ALL.map(Skill::name)).chain(["findings", "house_rules"]))?;
    for row in rows {
        let mut cells: Vec<String> = PLAIN.iter().map(|key| plain(&row[key])).collect();
        for certainty in Certainty::ALL {
            let tally = &row["predictions"][certainty.name()];
            cells.extend(["said", "right"].map(|key| plain(&tally[key])));
        }
        for skill in Skill::ALL {
            let of = &row["skills"][skill.name()];
            let passes = of["in_a_row"].as_u64().unwrap_or(0).min(MASTERY_PASSES as u64);
            let mastered = of["mastered"] == true;
            cells.push(if mastered {
                "mastered".into()
            } else {
                format!("{passes} of {MASTERY_PASSES}")
            });
        }
        let findings = row["findings"].as_object().into_iter().flatten();
        let findings: Vec<_> = findings.map(|(rule, n)| format!("{rule} {n}")).collect();
        cells.push(findings.join("; "));
        let houses = row["house_rules"].as_array().into_iter().flatten().map(plain);
        cells.push(houses.collect::<Vec<_>>().join("; "));
        out.write_record(cells)?;
    }
    let bytes = out.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => {
            // A spreadsheet would read a name that starts with one of these as a formula.
            let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
            if formula { format!("'{text}") } else { text.clone() }
        }
        Value::Null => String::new(),
        number => number.to_string(),
    }
}

fn write(path: &Path, text: &str) -> Result<(), Problem> {
    fs::write(path, text)
        .map_err(|e| format!("{}: expected to write it, and could not: {e}", path.display()))
}
