//! Routines and their runs.

mod random;
