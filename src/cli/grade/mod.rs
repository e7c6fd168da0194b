//! `nudgeproof grade`: a table of sessions, records and statements, one row for each learner.

mod input;
mod parquet_file;
mod report;
mod source;
mod statements;
mod store;
mod tables;

use crate::output::{Problem, complain, print_json, say};
use crate::progress::Progress;
use crate::threads::on_threads;
use input::Input;
use nudgeproof::lesson::{ClassBook, GradedFile};
use rayon::prelude::*;
use report::{Report, words_of};
use source::{Source, Text};
use statements::{Stored, Told, ToldAttempt};
use std::collections::HashMap;
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
    /// Folder of session files, records and statements (*.json), or one file; or `-`: one a line on standard input;
    /// or the address of a query to a learning record store, `https://…/statements?…`. In this order, files by their
    /// names, each learner's are taken for attempts one after the other
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
            return Err(format!(
                "{name}: expected sessions, records or statements about attempts, and could use none"
            ));
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

/// What a source says of one learner, or why it is left out.
struct Judged {
    name: String,
    graded: Result<GradedFile, Problem>,
    /// Out of a statement: whose it is, and when the store took it.
    stored: Option<(String, Stored)>,
}

/// Grades everything, some at a time on all cores, and how many were left out. Only the rows of the
/// learners stay in memory.
fn graded(mut input: Input) -> (ClassBook, usize) {
    let progress = Progress::of(None, "graded");
    let (mut class, mut left_out) = (ClassBook::default(), 0);
    let mut latest = HashMap::new();
    loop {
        let some = input.next_some(AT_A_TIME);
        if some.is_empty() {
            return (class, left_out);
        }
        let judge = |one: Source| {
            let judged = judged(one);
            progress.advance(1);
            judged
        };
        let judged: Vec<_> = some.into_par_iter().map(judge).collect();
        for Judged { name, graded, stored } in judged.into_iter().flatten() {
            match graded.and_then(|graded| in_order(&mut latest, stored).map(|()| graded)) {
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

fn judged(Source { name, text }: Source) -> Vec<Judged> {
    let text = match text.and_then(Text::get) {
        Ok(text) => text,
        Err(problem) => return vec![Judged { name, graded: Err(problem), stored: None }],
    };
    match statements::read(&text) {
        None => {
            let graded = GradedFile::read(&name, &text);
            vec![Judged { name, graded, stored: None }]
        }
        Some(Err(problem)) => vec![Judged { name, graded: Err(problem), stored: None }],
        Some(Ok(all)) => {
            let of = |Told { number, attempt }| {
                let (graded, stored) = match attempt {
                    Ok(ToldAttempt { file, learner, stored }) => {
                        (Ok(file), stored.map(|at| (learner, at)))
                    }
                    Err(problem) => (Err(problem), None),
                };
                Judged { name: format!("{name}, statement {number}"), graded, stored }
            };
            all.into_iter().map(of).collect()
        }
    }
}

/// What comes out of a store has to come the oldest first: the latest score goes by the order.
fn in_order(
    latest: &mut HashMap<String, Stored>,
    stored: Option<(String, Stored)>,
) -> Result<(), Problem> {
    let Some((learner, at)) = stored else { return Ok(()) };
    let before = latest.entry(learner).or_insert(at);
    if at < *before {
        return Err(format!(
            "expected each learner's the oldest first (ascending=true in the query), and found one of {at} after one of {before}"
        ));
    }
    *before = at;
    Ok(())
}
