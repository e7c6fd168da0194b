//! Small pieces that stand on the page in many places.

use super::{View, el};
use crate::app::words::Word;

/// The head of a column of a table.
pub(crate) fn column() -> View {
    el("th").attr("scope", "col")
}

/// A remark in small print.
pub(crate) fn note() -> View {
    el("p").class("fine")
}

/// A field with its name before it: put the field in.
pub(crate) fn pick(name: Word) -> View {
    el("label").class("pick").child(el("span").text(name))
}

/// What a row of buttons and fields is about.
pub(crate) fn row_name(name: Word) -> View {
    el("span").class("row-name").text(name)
}

impl View {
    /// Makes it a group, with a name for those who cannot see that it is one.
    pub(crate) fn group(self, name: Word) -> Self {
        self.attr("role", "group").attr("aria-label", name)
    }
}
