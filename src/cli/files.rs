//! Files that several subcommands read.

use crate::output::Problem;
use nudgeproof::session::Session;
use std::path::Path;

/// Reads a session file; the error sentence names the file.
pub(crate) fn read_session(path: &Path) -> Result<Session, Problem> {
    let name = path.display();
    let text = std::fs::read_to_string(path)
        .map_err(|e| format!("{name}: expected a session file, and could not read it: {e}"))?;
    Session::from_json(&text).map_err(|e| format!("{name}: {e}"))
}
