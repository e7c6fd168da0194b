//! The command line, from outside: one file a subcommand, or two that read the same files.
#![cfg(feature = "cli")]

mod drawing;
mod grade;
mod lessons;
mod sessions;
mod solve;
#[path = "../support/mod.rs"]
mod support;
