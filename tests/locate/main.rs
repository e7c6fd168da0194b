//! The locating solver: laws, worked cases, other solvers, its reach and its errors.

mod case_file;
mod independent;
mod laws;
mod no_heap;
#[path = "../bench/rectangle.rs"]
mod rectangle;
mod refusals;
mod scatter;
mod scenes;
#[path = "../support/mod.rs"]
mod support;
mod tilt;
mod turn;
mod worked_cases;
