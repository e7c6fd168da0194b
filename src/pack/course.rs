//! What both packages for course systems share: the page with the scripts that speak to one.

use crate::files::{Files, Problem, hashed};
use crate::index::{BOOT, Index, LAST, put_after, put_before, rewritten, set_policy};
use crate::policy::{Policy, integrity};

/// What every course system is spoken to with.
const SHARED: &str = include_str!("../app/course_system/shared.js");

/// How a package appears in a course system.
#[derive(Debug, Clone, Default)]
pub struct Course {
    /// The set-up of a class, as a file: what a launch begins with, and what is shown and allowed.
    pub launch: Option<String>,
}

pub(crate) const TITLE: &str = "Nudgeproof";
pub(crate) const ABOUT: &str = "Learn to write robot routines that feel for a part by touch and still weld on the seam after the part was nudged.";
/// What the packages go by, the same in each version: a course system keeps records under it.
pub(crate) const IDENTIFIER: &str = "nudgeproof";

/// The page with a script that speaks to a course system, what its policy then is, and markup for its end.
pub(crate) fn page_with(
    page: &Files,
    script: &str,
    policy: impl FnOnce(Policy) -> Policy,
    markup: &str,
) -> Result<Files, Problem> {
    let index = Index::of(page)?;
    let mut files = page.clone();
    let script = format!("{SHARED}\n{script}");
    let name = hashed("course_system.js", script.as_bytes());
    let tag =
        format!("<script defer integrity={} src=./{name}></script>", integrity(script.as_bytes()));
    files.insert(name, script.into_bytes());
    let policy = policy(index.policy);
    let html = rewritten(
        index.html,
        vec![set_policy(&policy), put_before(BOOT, &tag), put_after(LAST, markup)],
    )?;
    files.insert("index.html".into(), html.into_bytes());
    Ok(files)
}
