//! `DEVELOPERS.md` names files that exist.

use crate::source::root;
use std::fs;

/// Beginnings of what counts as a path of the project.
const FOLDERS: [&str; 3] = ["src/", "tests/", "lessons/"];

/// The section whose paths are checked.
const HEADING: &str = "## What one touches to add";

/// The paths in code marks, without those with a placeholder `NAME`.
fn paths(text: &str) -> Vec<&str> {
    let marked = text.split('`').skip(1).step_by(2);
    marked.filter(|p| FOLDERS.iter().any(|f| p.starts_with(f)) && !p.contains("NAME")).collect()
}

#[test]
fn every_file_to_touch_exists() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, section) = text.split_once(HEADING).expect("the section");
    let section = section.split("\n## ").next().unwrap_or_default();
    let named = paths(section);
    assert!(named.len() > 20, "the paths were found, but only {}", named.len());
    let gone: Vec<_> = named.into_iter().filter(|p| !root().join(p).exists()).collect();
    assert!(gone.is_empty(), "named in DEVELOPERS.md and not there: {gone:?}");
}

/// The check itself.
#[test]
fn paths_are_taken_from_code_marks() {
    let text = "`src/a.rs` with `NAME.md`, `src/NAME.rs`, src/b.rs and `tests/c.rs`";
    assert_eq!(paths(text), ["src/a.rs", "tests/c.rs"]);
}
