//! The command line. One file for each subcommand; each knows the library and the shared `files`
//! and `output`, and nothing of the others.

mod files;
mod grade;
mod lessons;
mod output;
mod replay;
mod solve;
mod study;

use clap::{Parser, Subcommand};
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
