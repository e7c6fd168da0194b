//! Files that several subcommands read.

use crate::output::Problem;
use nudgeproof::io::limits::{FILE_KIB, Limit};
use nudgeproof::session::Session;
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// Reads a file of no more KiB than the limit; the error sentence does not name it.
pub(crate) fn read_bytes(
    path: &Path,
    limit: &'static Limit,
    expected: &str,
) -> Result<Vec<u8>, Problem> {
    let unread = |e| format!("expected {expected}, and could not read it: {e}");
    let file = File::open(path).map_err(unread)?;
    let length = file.metadata().map_err(unread)?.len();
    limit.check(length.div_ceil(1024) as usize).map_err(|over| over.to_string())?;
    // A device has no length, and may have no end: a byte too many is enough to tell.
    let mut bytes = Vec::new();
    file.take(limit.most as u64 * 1024 + 1).read_to_end(&mut bytes).map_err(unread)?;
    Ok(bytes)
}

/// Reads a text file; the error sentence does not name it.
pub(crate) fn read_text(path: &Path, expected: &str) -> Result<String, Problem> {
    let bytes = read_bytes(path, &FILE_KIB, expected)?;
    String::from_utf8(bytes).map_err(|_| format!("expected {expected}, and found no text in UTF-8"))
}

/// Reads a session file; the error sentence names the file.
pub(crate) fn read_session(path: &Path) -> Result<Session, Problem> {
    let named = |e: String| format!("{}: {e}", path.display());
    let text = read_text(path, "a session file").map_err(named)?;
    Session::from_json(&text).map_err(|e| named(e.to_string()))
}
