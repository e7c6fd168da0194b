//! Printing, and the error type of the subcommands.

use nudgeproof::io::{to_json, visible};
use serde::Serialize;
use std::io::Write as _;

/// An error as one sentence for standard error.
pub(crate) type Problem = String;

/// Prints a value as JSON on standard output.
pub(crate) fn print_json(value: &impl Serialize) -> Result<(), Problem> {
    print(&(to_json(value) + "\n"))
}

/// Prints text on standard output.
pub(crate) fn print(text: &str) -> Result<(), Problem> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        // The reader has closed the pipe.
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => {
            other.map_err(|e| format!("standard output: expected to write, and could not: {e}"))
        }
    }
}

/// Prints words on standard output. Names in them may come from outside: nothing in them steers the terminal.
pub(crate) fn say(words: &str) -> Result<(), Problem> {
    let lines: Vec<_> = words.lines().map(visible).collect();
    print(&(lines.join("\n") + "\n"))
}

/// Says what is wrong in a line on standard error. Names in it may come from outside: nothing in them
/// steers the terminal. If standard error takes nothing more, there is nowhere to say so.
pub(crate) fn complain(problem: &str) {
    let lines: Vec<_> = problem.lines().map(visible).collect();
    let _ = writeln!(std::io::stderr(), "nudgeproof: {}", lines.join("\nnudgeproof: "));
}
