//! SVG.

mod length;
mod lines;
mod path_data;
mod shape;
mod style;
mod viewport;
mod walk;

pub(super) use walk::read_svg;
