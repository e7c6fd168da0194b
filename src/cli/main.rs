//! The command line. One file for each subcommand; each knows the library and the shared `files`
//! and `output`, and nothing of the others.

mod drawing;
mod files;
mod grade;
mod layout;
mod lessons;
mod output;
mod replay;
mod shift;
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
    /// Find the layouts of touches for a part with the least spread at its weld ends; prints JSON
    Layout(layout::LayoutArgs),
    /// Read the outlines of a drawing file, DXF or SVG; prints JSON
    Drawing(drawing::DrawingArgs),
    /// Grade a folder of sessions, one row a learner; writes a CSV and a JSON file
    Grade(grade::GradeArgs),
    /// Check lessons by playing them, or print a solution
    Lessons(lessons::LessonsArgs),
    /// Report what happened in a session; prints JSON
    Replay(replay::ReplayArgs),
    /// Print the answer sheet of a shift: what goes wrong, and the best decisions; prints JSON
    Shift(shift::ShiftArgs),
    /// Locate the part for every case of a file; prints JSON
    Solve(solve::SolveArgs),
    /// Run a session's routine many times on a nudged part; prints percentiles of the seam miss
    Study(study::StudyArgs),
}

/// Exit code for unusable input.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    let result = match Arguments::parse().command {
        Command::Drawing(drawing) => drawing.run(),
        Command::Layout(layout) => layout.run(),
        Command::Grade(grade) => grade.run(),
        Command::Lessons(lessons) => lessons.run(),
        Command::Replay(replay) => replay.run(),
        Command::Shift(shift) => shift.run(),
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
