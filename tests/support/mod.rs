//! What several test binaries share: the case files, and comparing numbers.

#![allow(dead_code, reason = "each test binary uses its own share of these helpers")]

use nudgeproof::session::Session;
use std::path::{Path, PathBuf};

/// A file of the project; `path` is relative to the project's folder.
pub(crate) fn file(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Its text.
#[track_caller]
pub(crate) fn text_of(path: &str) -> String {
    std::fs::read_to_string(file(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// A session below `tests/cases`, such as `sessions/as-it-should-be.json`.
#[track_caller]
pub(crate) fn session(name: &str) -> Session {
    let text = text_of(&format!("tests/cases/{name}"));
    Session::from_json(&text).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Three sessions of the main job: as it should be done, and with each of the two headline mistakes.
pub(crate) const AS_IT_SHOULD_BE: &str = "sessions/as-it-should-be.json";
pub(crate) const HOME_RIDES_ALONG: &str = "sessions/home-rides-along.json";
pub(crate) const REFERENCE_RETAKEN: &str = "sessions/reference-retaken.json";
