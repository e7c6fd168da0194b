//! What several test binaries share: case files, and comparing numbers, points and vectors.

#![allow(dead_code, reason = "each test binary uses its own share of these helpers")]

use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::session::Session;
use std::fmt::Debug;
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

/// How far apart two values are: the absolute difference, or the length of the difference.
pub(crate) trait Distance {
    fn distance(&self, other: &Self) -> f64;
}

impl Distance for f64 {
    fn distance(&self, other: &Self) -> f64 {
        (self - other).abs()
    }
}

impl Distance for Point3<f64> {
    fn distance(&self, other: &Self) -> f64 {
        (self - other).norm()
    }
}

impl Distance for Vector3<f64> {
    fn distance(&self, other: &Self) -> f64 {
        (self - other).norm()
    }
}

/// Asserts that `found` is within `tolerance` of `expected`; `what` is compared.
#[track_caller]
pub(crate) fn assert_near<T: Distance + Copy + Debug>(
    what: &str,
    found: T,
    expected: T,
    tolerance: f64,
) {
    let off = found.distance(&expected);
    assert!(off <= tolerance, "{what}: {found:?}, expected {expected:?} ± {tolerance}");
}

/// Asserts that `table` stands in `DEVELOPERS.md` between the marks of this name; with `UPDATE=1` in the
/// environment it is written there.
#[track_caller]
pub(crate) fn assert_table(name: &str, table: &str) {
    let text = text_of("DEVELOPERS.md");
    let (begin, end) = (format!("<!-- {name} -->\n"), format!("<!-- /{name} -->"));
    let from = text.find(&begin).expect("the table has a beginning") + begin.len();
    let to = text.find(&end).expect("the table has an end");
    if std::env::var_os("UPDATE").is_some() {
        let new = format!("{}{table}{}", &text[..from], &text[to..]);
        std::fs::write(file("DEVELOPERS.md"), new).expect("it can be written");
    } else {
        assert_eq!(&text[from..to], table, "run this test with UPDATE=1 and read what changed");
    }
}
