//! The course: every lesson is sound, its words are explained, and attempts are judged and kept.

mod course;
mod jobs;
mod refresher;
mod shift_job;
#[path = "../support/mod.rs"]
mod support;
mod watched;
mod words;
