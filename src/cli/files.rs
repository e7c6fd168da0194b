//! Files that several subcommands read.

use crate::output::Problem;
use nudgeproof::io::limits::FILE_KIB;
use nudgeproof::session::Session;
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// The longest text that is read, and a byte more, which is enough to tell that it is too long.
const MOST_BYTES: u64 = FILE_KIB.most as u64 * 1024 + 1;

/// Reads a text file; the error sentence does not name it. No more of it is read than a file may hold.
pub(crate) fn read_text(path: &Path, expected: &str) -> Result<String, Problem> {
    let unread = |e| format!("expected {expected}, and could not read it: {e}");
    let file = File::open(path).map_err(unread)?;
    let length = file.metadata().map_err(unread)?.len();
    FILE_KIB.check(length.div_ceil(1024) as usize).map_err(|over| over.to_string())?;
    let mut text = String::new();
    file.take(MOST_BYTES).read_to_string(&mut text).map_err(unread)?;
    Ok(text)
}

/// Reads a session file; the error sentence names the file.
pub(crate) fn read_session(path: &Path) -> Result<Session, Problem> {
    let named = |e: String| format!("{}: {e}", path.display());
    let text = read_text(path, "a session file").map_err(named)?;
    Session::from_json(&text).map_err(|e| named(e.to_string()))
}
