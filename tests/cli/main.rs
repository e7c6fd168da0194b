//! The command line, from outside: one file a subcommand, or two that read the same files.
#![cfg(feature = "cli")]

mod command;
mod drawing;
mod grade;
mod hostile;
mod layout;
mod lessons;
mod sessions;
mod solve;
mod statements;
#[path = "../support/mod.rs"]
mod support;
