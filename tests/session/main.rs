//! Whole sessions: the main job, what a fault does to it, and what is kept secret.

mod cell_consequences;
mod controller;
mod fault_consequences;
mod files;
mod history;
mod journal;
mod limits;
mod looks;
mod main_job;
mod secret;
mod study;
#[path = "../support/mod.rs"]
mod support;
