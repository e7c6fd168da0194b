//! The command line. One file for each subcommand; each knows the library and
//! nothing of the others.

mod solve;

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
    /// Locate the part for every case of a file; prints JSON
    Solve(solve::Solve),
}

/// What went wrong, as one sentence for standard error.
type Problem = String;

/// Exit code for input that cannot be used.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    let result = match Arguments::parse().command {
        Command::Solve(solve) => solve.run(),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("nudgeproof: {problem}");
            ExitCode::from(BAD_INPUT)
        }
    }
}
