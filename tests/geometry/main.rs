//! Outlines and first contact.

mod contact;
mod outline;
#[path = "../support/mod.rs"]
mod support;
