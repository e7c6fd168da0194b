//! The coach: a case for each rule, whole sessions, and single mistakes in correct sessions.

mod cases;
mod house_rules;
mod mutations;
mod random;
mod reading;
mod sentences;
mod sessions;
#[path = "../support/mod.rs"]
mod support;
