//! The command line. One file for each subcommand; each knows the library and
//! nothing of the others.

mod grade;
mod lessons;
mod replay;
mod solve;
mod study;

use clap::{Parser, Subcommand};
use std::io::Write as _;
use std::process::ExitCode;

/// Learn to write robot routines that still weld on the seam after the part was nudged.
#[derive(Parser)]
#[command(name = "nudgeproof", version, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Grade a folder of sessions, one row a learner; writes a CSV and a JSON file
    Grade(grade::Grade),
    /// Prove that lessons can be learned from
    Lessons(lessons::Lessons),
    /// Say what happened in a session; prints JSON
    Replay(replay::Replay),
    /// Locate the part for every case of a file; prints JSON
    Solve(solve::Solve),
    /// Run a session's routine many times on a nudged part; prints percentiles of the seam miss
    Study(study::Study),
}

/// What went wrong, as one sentence for standard error.
type Problem = String;

/// Exit code for input that cannot be used.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    let result = match Arguments::parse().command {
        Command::Grade(grade) => grade.run(),
        Command::Lessons(lessons) => lessons.run(),
        Command::Replay(replay) => replay.run(),
        Command::Solve(solve) => solve.run(),
        Command::Study(study) => study.run(),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("nudgeproof: {problem}");
            ExitCode::from(BAD_INPUT)
        }
    }
}

/// Prints a value as JSON on standard output.
fn print_json(value: &serde_json::Value) -> Result<(), Problem> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|e| format!("standard output: expected to write JSON, and could not: {e}"))?;
    print(&(text + "\n"))
}

/// Prints text on standard output.
fn print(text: &str) -> Result<(), Problem> {
    match std::io::stdout().write_all(text.as_bytes()) {
        // Whoever reads has seen enough.
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => {
            other.map_err(|e| format!("standard output: expected to write, and could not: {e}"))
        }
    }
}
