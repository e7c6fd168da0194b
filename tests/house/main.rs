//! The sources themselves: which file knows which, and what must stand in no file.

mod circles;
mod developers;
mod layering;
mod leftovers;
mod modules;
mod source;
