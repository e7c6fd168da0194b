//! The forecast: what it reads from a routine, and whether whole runs come out as it says.

mod against_runs;
mod at_cell;
mod best;
mod routine;
