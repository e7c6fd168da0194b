//! What is written to a file is read back the same.

mod names;
