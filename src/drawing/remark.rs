use serde::{Deserialize, Serialize};
use std::fmt;

/// An element of a drawing file, as a person finds it there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
pub struct Element {
    /// What it is in the file: `MTEXT`, `text`.
    pub kind: String,
    /// Its handle or id; empty where it has none.
    pub id: String,
    /// Its layer; empty where it has none.
    pub layer: String,
    /// The line of the file where it begins, from 1.
    pub line: usize,
}

impl fmt::Display for Element {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}", self.kind)?;
        if !self.id.is_empty() {
            write!(f, " {}", self.id)?;
        }
        if !self.layer.is_empty() {
            write!(f, ", layer {:?}", self.layer)?;
        }
        write!(f, ", line {}", self.line)
    }
}

/// Something of a drawing that no outline has come of, or not as it looks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remark {
    /// Which element.
    pub element: Element,
    /// Why.
    pub why: Why,
    /// How often it is so: an element of a block that is placed three times, three times.
    pub times: usize,
}

/// Why no outline has come of an element, or another one than meets the eye.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, thiserror::Error,
)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// Words.
    #[error("text has no outline")]
    Text,
    /// A kind of element that holds no line, or that is not read.
    #[error("elements of this kind are not read")]
    Kind,
    /// Not shown in the drawing.
    #[error("it is hidden")]
    Hidden,
    /// On the paper beside the drawing.
    #[error("it stands on the paper, not in the drawing")]
    OnPaper,
    /// It lies aslant or rises.
    #[error("it does not lie level in the plan")]
    NotLevel,
    /// It has no length.
    #[error("it has no length")]
    NoLength,
    /// The same line was there before.
    #[error("the same line is drawn twice")]
    Twice,
    /// It lies too far off.
    #[error("it lies more than 100 m from the origin")]
    TooFar,
    /// What it places is not in the file.
    #[error("it places {0:?}, which is not in this file")]
    NoSuch(String),
    /// What it places holds the element itself.
    #[error("it places {0:?}, which holds this element itself")]
    WithinItself(String),
    /// A curve through points: each program draws another one.
    #[error(
        "the curve is given by points it runs through alone: convert it to a spline with control points"
    )]
    FitPoints,
    /// Something that cannot be read.
    #[error("it cannot be read: {0}")]
    Broken(String),
    /// Used whole although the drawing shows a piece of it.
    #[error("it is used whole: what hides a part of it is not applied")]
    Clipped,
    /// A style sheet may hide or move elements.
    #[error("its rules that hide or move elements are not applied")]
    StyleSheet,
}
