//! The package for course systems that take cmi5 (AICC, 2016): the page, and the structure of a course with
//! one unit.

use crate::course::{ABOUT, Course, TITLE, page_with};
use crate::files::{Files, Problem};
use crate::policy::Policy;
use crate::xml::Element;

const SPEAKER: &str = include_str!("../app/course_system/cmi5.js");
/// The way back that a launch may name.
const BACK: &str = include_str!("back_to_course.html");
/// What course and unit go by. An identifier, and no address: nothing is asked for there.
const COURSE: &str = "urn:uuid:6f0c7b52-3a0e-4a56-9f7e-6a1f6f9f2b11";
const UNIT: &str = "urn:uuid:6f0c7b52-3a0e-4a56-9f7e-6a1f6f9f2b12";
/// The share of all points that is a pass: `lesson::PASS_SCORE`.
const MASTERY: &str = "0.8";

/// The files of the package.
pub(crate) fn package(page: &Files, course: &Course) -> Result<Files, Problem> {
    // The record store may stand on any other server.
    let anywhere = |policy: Policy| policy.with("connect-src", &["'self'", "https:", "http:"]);
    let mut files = page_with(page, SPEAKER, anywhere, BACK)?;
    files.insert("cmi5.xml".into(), structure(course)?.into_bytes());
    Ok(files)
}

fn structure(course: &Course) -> Result<String, Problem> {
    let said = |name: &'static str, text: &str| {
        Element::new(name).holding(Element::new("langstring").with("lang", "en").text(text))
    };
    let mut unit = Element::new("au")
        .with("id", UNIT)
        .with("moveOn", "Passed")
        .with("masteryScore", MASTERY)
        .with("launchMethod", "AnyWindow")
        .holding(said("title", TITLE))
        .holding(said("description", ABOUT))
        .holding(Element::new("url").text("index.html"));
    if let Some(launch) = &course.launch {
        unit = unit.holding(Element::new("launchParameters").text(launch));
    }
    Element::new("courseStructure")
        .with("xmlns", "https://w3id.org/xapi/profiles/cmi5/v1/CourseStructure.xsd")
        .holding(
            Element::new("course")
                .with("id", COURSE)
                .holding(said("title", TITLE))
                .holding(said("description", ABOUT)),
        )
        .holding(unit)
        .document()
}
