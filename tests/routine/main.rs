//! Routines and their runs.

mod coarse_then_fine;
mod random;
#[path = "../support/mod.rs"]
mod support;
