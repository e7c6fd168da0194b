//! Outlines and first contact.

mod contact;
mod outline;
