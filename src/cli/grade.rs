//! `nudgeproof grade FOLDER`: a table of a folder of sessions and records, one row for each learner.

use crate::output::{Problem, print};
use nudgeproof::io::to_json;
use nudgeproof::lesson::{ClassBook, ClassSummary, Tally, Understanding, class_to_csv};
use nudgeproof::session::Certainty;
use serde_json::json;
use std::fs;
use std::path::{Path, PathBuf};

/// Arguments of `grade`.
#[derive(clap::Args)]
pub(crate) struct GradeArgs {
    /// Folder of session files and records, as the page exports them; in the order of their names, each
    /// learner's are taken for attempts one after the other
    folder: PathBuf,
    /// Folder for grades.csv and grades.json; the same folder if left out
    #[arg(long)]
    out: Option<PathBuf>,
}

/// Names of the files it writes.
const CSV: &str = "grades.csv";
const JSON: &str = "grades.json";

impl GradeArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let mut class = ClassBook::default();
        for path in json_files(&self.folder)? {
            let file = path.strip_prefix(&self.folder).unwrap_or(&path).display().to_string();
            match fs::read_to_string(&path) {
                Ok(text) => class.add(&file, &text),
                Err(e) => {
                    class.add_broken(
                        &file,
                        format!("expected a session or a record, and could not read it: {e}"),
                    );
                }
            }
        }
        for broken in class.broken() {
            eprintln!("nudgeproof: left out: {}: {}", broken.file, broken.problem);
        }
        let rows = class.rows();
        let summary = ClassSummary::of(&rows);
        let table = json!({
            "format": "nudgeproof-grades",
            "format_version": 1,
            "learners": rows,
            "class": summary,
            "broken": class.broken(),
        });
        let out = self.out.as_ref().unwrap_or(&self.folder);
        write(&out.join(CSV), &class_to_csv(&rows))?;
        write(&out.join(JSON), &(to_json(&table) + "\n"))?;
        let sessions: usize = rows.iter().map(|row| row.sessions).sum();
        print(&class_lines(&summary.understanding))?;
        print(&format!(
            "{} learners, {sessions} sessions, {} files left out: {} and {}\n",
            rows.len(),
            class.broken().len(),
            out.join(CSV).display(),
            out.join(JSON).display(),
        ))
    }
}

/// What all attempts show of understanding, to be read.
fn class_lines(all: &Understanding) -> String {
    let line = |(certainty, tally): (Certainty, Tally)| {
        let name = certainty.name().replace('_', " ");
        format!("predictions, {name}: {} of {} right\n", tally.right, tally.said)
    };
    let sure: String = all.predictions.rows().into_iter().map(line).collect();
    let Understanding { drills, causes_at_first_try: first, hints, .. } = all;
    format!("{sure}causes named at the first try: {first} of {drills}\nhints: {hints}\n")
}

/// The JSON files below a folder, sorted by name, without those that this command writes.
fn json_files(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let entries = fs::read_dir(folder).map_err(|e| {
        format!(
            "{}: expected a folder of session files, and could not read it: {e}",
            folder.display()
        )
    })?;
    let mut files = Vec::new();
    for path in entries.filter_map(|e| e.ok().map(|e| e.path())) {
        if path.is_dir() {
            files.extend(json_files(&path)?);
        } else if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("json"))
            && path.file_name().is_some_and(|n| n != JSON)
        {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

fn write(path: &Path, text: &str) -> Result<(), Problem> {
    fs::write(path, text)
        .map_err(|e| format!("{}: expected to write it, and could not: {e}", path.display()))
}
