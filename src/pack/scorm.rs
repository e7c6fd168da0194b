//! The package for course systems that take SCORM 1.2 (ADL, 2001): the page, and a manifest after IMS Content
//! Packaging 1.1.2 that names every file.

use crate::course::{Course, IDENTIFIER, TITLE, page_with};
use crate::files::{Files, Problem};
use crate::xml::Element;

const SPEAKER: &str = include_str!("../app/course_system/scorm12.js");
/// Most characters of launch data (`adlcp:datafromlms`, SCORM 1.2, Content Aggregation Model; from memory).
const LONGEST_LAUNCH: usize = 255;

/// The files of the package.
pub(crate) fn package(page: &Files, course: &Course) -> Result<Files, Problem> {
    let mut files = page_with(page, SPEAKER, |policy| policy, "")?;
    let manifest = manifest(&files, course)?;
    files.insert("imsmanifest.xml".into(), manifest.into_bytes());
    Ok(files)
}

fn manifest(files: &Files, course: &Course) -> Result<String, Problem> {
    let mut item = Element::new("item")
        .with("identifier", "item")
        .with("identifierref", "page")
        .holding(Element::new("title").text(TITLE));
    if let Some(launch) = &course.launch {
        let long = launch.chars().count();
        if long > LONGEST_LAUNCH {
            return Err(format!(
                "the set-up of a class: expected at most {LONGEST_LAUNCH} characters, as SCORM 1.2 has it, and found {long}"
            ));
        }
        item = item.holding(Element::new("adlcp:datafromlms").text(launch));
    }
    let resource = Element::new("resource")
        .with("identifier", "page")
        .with("type", "webcontent")
        .with("adlcp:scormtype", "sco")
        .with("href", "index.html");
    let resource = files
        .keys()
        .fold(resource, |all, name| all.holding(Element::new("file").with("href", name)));
    Element::new("manifest")
        .with("identifier", IDENTIFIER)
        .with("version", "1.0")
        .with("xmlns", "http://www.imsproject.org/xsd/imscp_rootv1p1p2")
        .with("xmlns:adlcp", "http://www.adlnet.org/xsd/adlcp_rootv1p2")
        .holding(
            Element::new("metadata")
                .holding(Element::new("schema").text("ADL SCORM"))
                .holding(Element::new("schemaversion").text("1.2")),
        )
        .holding(
            Element::new("organizations").with("default", "course").holding(
                Element::new("organization")
                    .with("identifier", "course")
                    .holding(Element::new("title").text(TITLE))
                    .holding(item),
            ),
        )
        .holding(Element::new("resources").holding(resource))
        .document()
}
