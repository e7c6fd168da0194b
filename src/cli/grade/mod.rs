//! `nudgeproof grade`: a table of sessions and records, one row for each learner.

mod input;
mod parquet_file;
mod report;
mod tables;

use crate::output::{Problem, complain, print_json, say};
use crate::progress::Progress;
use crate::threads::on_threads;
use input::Input;
use nudgeproof::lesson::{ClassBook, GradedFile};
use rayon::prelude::*;
use report::{Report, words_of};
use std::path::PathBuf;
use std::process::ExitCode;
use tables::Tables;

/// Exit code if something was graded, and something left out.
const SOME_LEFT_OUT: u8 = 3;
/// How many files or lines are read before they are graded: enough that no core waits long for another.
const AT_A_TIME: usize = 512;
/// How many that were left out are kept for the report; each is told on standard error.
const LEFT_OUT_KEPT: usize = 1000;

/// Arguments of `grade`.
#[derive(clap::Args)]
pub(crate) struct GradeArgs {
    /// Folder of session files and records (*.json), as the page exports them, or `-`: one a line on standard
    /// input. In this order, files by their names, each learner's are taken for attempts one after the other
    from: PathBuf,
    /// Folder for grades.csv, grades.jsonl, grades.parquet and grades.json, which is made if it is not there.
    /// It must hold nothing else
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
    /// Threads; as many as the machine has cores if left out. The result does not depend on it
    #[arg(long)]
    threads: Option<usize>,
}

impl GradeArgs {
    pub(crate) fn run(&self) -> Result<ExitCode, Problem> {
        let tables = self.out.as_deref().map(Tables::in_folder).transpose()?;
        let input = Input::open(&self.from, self.out.as_deref())?;
        let (class, left_out) = on_threads(self.threads, || graded(input))?;
        let rows = class.rows();
        if rows.is_empty() {
            let name = self.from.display();
            return Err(format!("{name}: expected sessions or records, and could use none"));
        }
        let report = Report::of(&rows, class.broken(), left_out);
        if let Some(tables) = &tables {
            tables.write(&report)?;
        }
        if self.json {
            print_json(&report)
        } else {
            say(&words_of(&report, tables.as_ref().map(Tables::names)))
        }?;
        Ok(if left_out == 0 { ExitCode::SUCCESS } else { SOME_LEFT_OUT.into() })
    }
}

/// Grades everything, some at a time on all cores, and how many were left out. Only the rows of the
/// learners stay in memory.
fn graded(mut input: Input) -> (ClassBook, usize) {
    let progress = Progress::of(None, "graded");
    let (mut class, mut left_out) = (ClassBook::default(), 0);
    loop {
        let some = input.next_some(AT_A_TIME);
        if some.is_empty() {
            return (class, left_out);
        }
        let judge = |one: input::Source| {
            let graded = one.text.and_then(|text| GradedFile::read(&one.name, &text.get()?));
            progress.advance(1);
            (one.name, graded)
        };
        let judged: Vec<_> = some.into_par_iter().map(judge).collect();
        for (name, graded) in judged {
            match graded {
                Ok(graded) => class.add_graded(&graded),
                Err(problem) => {
                    progress.aside(|| complain(&format!("left out: {name}: {problem}")));
                    left_out += 1;
                    if left_out <= LEFT_OUT_KEPT {
                        class.add_broken(&name, problem);
                    }
                }
            }
        }
    }
}
