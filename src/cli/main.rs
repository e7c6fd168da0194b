//! The command line. One file or folder for each subcommand; each knows the library and the shared `files`,
//! `output`, `progress` and `threads`, and nothing of the others.

mod completions;
mod drawing;
mod files;
mod grade;
mod layout;
mod lessons;
mod output;
mod progress;
mod replay;
mod shift;
mod solve;
mod study;
mod threads;

use clap::{CommandFactory as _, Parser, Subcommand};
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
    /// Print what a shell needs to complete this command
    Completions(completions::CompletionsArgs),
    /// Find the layouts of touches for a part with the least spread at its weld ends
    Layout(layout::LayoutArgs),
    /// Read the outlines of a drawing file, DXF or SVG
    Drawing(drawing::DrawingArgs),
    /// Grade many sessions and records, one row a learner
    Grade(grade::GradeArgs),
    /// Check lessons by playing them, or print a solution
    Lessons(lessons::LessonsArgs),
    /// Report what happened in a session
    Replay(replay::ReplayArgs),
    /// Print the answer sheet of a shift: what goes wrong, and the best decisions
    Shift(shift::ShiftArgs),
    /// Locate the part for every case of a file
    Solve(solve::SolveArgs),
    /// Run a session's routine many times on nudged parts
    Study(study::StudyArgs),
}

/// Exit code for unusable input, as clap has it for unusable arguments.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    let done = |result: Result<(), output::Problem>| result.map(|()| ExitCode::SUCCESS);
    let result = match Arguments::parse().command {
        Command::Completions(shell) => done(shell.run(&mut Arguments::command())),
        Command::Drawing(drawing) => done(drawing.run()),
        Command::Layout(layout) => done(layout.run()),
        Command::Grade(grade) => grade.run(),
        Command::Lessons(lessons) => done(lessons.run()),
        Command::Replay(replay) => done(replay.run()),
        Command::Shift(shift) => done(shift.run()),
        Command::Solve(solve) => done(solve.run()),
        Command::Study(study) => done(study.run()),
    };
    result.unwrap_or_else(|problem| {
        output::complain(&problem);
        ExitCode::from(BAD_INPUT)
    })
}
