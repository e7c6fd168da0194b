//! DXF, as text.

mod entity;
mod header;
mod records;
mod shape;
mod walk;

pub(super) use walk::read_dxf;
