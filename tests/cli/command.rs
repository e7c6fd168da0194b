//! The command itself, run on a file of the project.

use crate::support::file;
use std::process::{Command, Output};

pub(crate) fn run(subcommand: &str, path: &str, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nudgeproof"))
        .arg(subcommand)
        .arg(file(path))
        .args(arguments)
        .output()
        .expect("the command ends")
}

#[track_caller]
pub(crate) fn printed(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// One sentence, and exit code 2.
#[track_caller]
pub(crate) fn refused(output: &Output, says: &str) {
    let problem = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{problem}");
    assert_eq!(problem.trim().lines().count(), 1, "one line: {problem}");
    assert!(problem.contains(says), "{problem:?} should say {says:?}");
    assert!(output.stdout.is_empty(), "nothing is printed");
}
