//! Drawing files: outlines of files that other libraries drew, and what is said of broken ones.
#![cfg(feature = "drawing")]

mod broken;
mod entities;
mod good;
mod limits;
#[path = "../support/mod.rs"]
mod support;
