//! Packs the finished page, a folder that Trunk has made, in the ways in which it is handed on: a folder for
//! any web server, one file that opens from disk, and packages for course systems.
//!
//! The same page gives the same bytes each time: files in the order of their names, no clock, no paths of
//! this machine. What the page itself may rely on stands in the scripts beside this file.

mod archive;
mod cmi5;
mod compress;
mod course;
mod files;
mod index;
mod licences;
mod policy;
mod scorm;
mod single_file;
mod site;
mod traces;
mod xml;

pub use course::Course;
pub use files::{Files, Problem, read_folder, read_text, write_folder};
pub use licences::licences;
pub use traces::{Traces, traces_of_this_machine};

/// Everything that is handed on, by its path below one folder.
///
/// # Errors
/// One sentence that says what the page lacks, or where a trace of this machine stands.
pub fn pack(
    page: &Files,
    course: &Course,
    licences: &str,
    traces: &Traces,
) -> Result<Files, Problem> {
    let mut page = page.clone();
    page.insert("licences.txt".into(), licences.as_bytes().to_vec());
    traces.check(&page)?;
    let mut packed = site::site(&page)?;
    packed.insert("nudgeproof.html".into(), single_file::single_file(&page)?);
    packed.insert("nudgeproof-scorm12.zip".into(), archive::zip(&scorm::package(&page, course)?)?);
    packed.insert("nudgeproof-cmi5.zip".into(), archive::zip(&cmi5::package(&page, course)?)?);
    Ok(packed)
}
