//! The course: every lesson is sound, its words are explained, and attempts are judged and kept.

mod class;
mod course;
mod course_report;
mod course_test;
mod drill;
mod jobs;
mod learners;
mod on_part;
#[cfg(feature = "drawing")]
mod own_outlines;
mod own_parts;
mod records;
mod refresher;
mod rehearsal;
mod shift_job;
mod shift_lesson;
#[path = "../support/mod.rs"]
mod support;
mod watched;
mod words;
