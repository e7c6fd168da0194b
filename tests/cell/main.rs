//! Parts, searches, moves, faults, and what a cell refuses.

mod errors;
mod faults;
mod parts;
mod search;
#[path = "../support/mod.rs"]
mod support;
mod travel;
