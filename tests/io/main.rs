//! Files: what is written is read back the same, and an error names its place.

mod types;
