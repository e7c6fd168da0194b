//! Small pieces that stand on the page in many places.

use super::{View, el};
use crate::app::i18n::Key;
use leptos::prelude::event_target_value;
use web_sys::Event;

/// The head of a column of a table.
pub(crate) fn column() -> View {
    el("th").attr("scope", "col")
}

/// A remark in small print.
pub(crate) fn note() -> View {
    el("p").class("fine")
}

/// A field with its name before it: put the field in.
pub(crate) fn pick(name: Key) -> View {
    el("label").class("pick").child(el("span").text(name))
}

/// A field for a few words: `done` gets what was typed, without blanks around it, once it is.
pub(crate) fn typed(test_id: &'static str, done: impl Fn(String) + 'static) -> View {
    el("input")
        .attr("type", "text")
        .attr("autocomplete", "off")
        .test_id(test_id)
        .on("change", move |event: Event| done(event_target_value(&event).trim().to_owned()))
}

/// What a row of buttons and fields is about.
pub(crate) fn row_name(name: Key) -> View {
    el("span").class("row-name").text(name)
}

impl View {
    /// Makes it a group, with a name for those who cannot see that it is one.
    pub(crate) fn group(self, name: Key) -> Self {
        self.attr("role", "group").attr("aria-label", name)
    }
}
