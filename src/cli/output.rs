//! Printing, and the error type of the subcommands.

use std::io::Write as _;

/// An error as one sentence for standard error.
pub(crate) type Problem = String;

/// Prints a value as JSON on standard output.
pub(crate) fn print_json(value: &serde_json::Value) -> Result<(), Problem> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|e| format!("standard output: expected to write JSON, and could not: {e}"))?;
    print(&(text + "\n"))
}

/// Prints text on standard output.
pub(crate) fn print(text: &str) -> Result<(), Problem> {
    match std::io::stdout().write_all(text.as_bytes()) {
        // The reader has closed the pipe.
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => {
            other.map_err(|e| format!("standard output: expected to write, and could not: {e}"))
        }
    }
}
