use crate::io::limits::OverLimit;
use thiserror::Error;

/// Why no outline can be had from a drawing file.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum DrawingError {
    /// It is empty.
    #[error("the file is empty: expected a DXF or SVG drawing")]
    Empty,
    /// It is neither DXF nor SVG.
    #[error("expected a DXF or SVG drawing, and found {0}")]
    Kind(&'static str),
    /// It holds more than is read.
    #[error(transparent)]
    TooMuch(#[from] OverLimit),
    /// The text of a DXF file is not built as one.
    #[error("line {line}: expected {expected}, and found {found}")]
    Dxf {
        /// Line, from 1.
        line: usize,
        /// What should stand there.
        expected: &'static str,
        /// What stands there.
        found: String,
    },
    /// A DXF file that ends too early.
    #[error("the file ends at line {0}, before its drawing does: it was cut off")]
    CutOff(usize),
    /// A DXF file without a drawing in it.
    #[error("the file has no section ENTITIES, which holds the drawing")]
    NoEntities,
    /// It is not XML.
    #[error("not XML: {0}")]
    Xml(String),
    /// It is XML, but no SVG.
    #[error("expected an element svg of {SVG} first, and found {0}")]
    NotSvg(String),
    /// There is nothing in it that has an outline.
    #[error("the drawing holds no line, arc or curve that can be used; {0} of its elements cannot")]
    Nothing(usize),
}

/// The namespace of SVG (SVG 2, section 5.1).
pub(super) const SVG: &str = "http://www.w3.org/2000/svg";
