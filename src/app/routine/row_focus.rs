//! The focus in the list of steps.

use super::step_handle::StepHandle;
use leptos::html::{Button, Ol};
use leptos::prelude::*;
use nudgeproof::routine::StepId;
use std::collections::HashMap;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlButtonElement, HtmlElement};

/// The sentence of each row, to move the focus from row to row. A context of the list of steps.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct RowFocus(StoredValue<HashMap<StepId, NodeRef<Button>>>);

impl RowFocus {
    /// The reference for the sentence of a row, for as long as the row lives.
    pub(super) fn register(self, id: StepId) -> NodeRef<Button> {
        let sentence = NodeRef::new();
        self.0.update_value(|rows| {
            rows.insert(id, sentence);
        });
        on_cleanup(move || {
            // The list itself may have gone before its rows.
            self.0.try_update_value(|rows| rows.remove(&id));
        });
        sentence
    }

    /// The sentence of a row; the list may have been drawn anew since.
    fn sentence(self, id: StepId) -> Option<HtmlButtonElement> {
        self.0.try_with_value(|rows| rows.get(&id).copied())??.try_get_untracked()?
    }

    /// Brings the row of a step into view.
    pub(super) fn show(self, id: StepId) {
        if let Some(sentence) = self.sentence(id) {
            scroll_to(&sentence);
        }
    }

    /// Gives the focus to the row of a step.
    pub(super) fn focus(self, id: StepId) {
        if let Some(sentence) = self.sentence(id) {
            // Focus can only fail on an element that is gone.
            let _ = sentence.focus();
        }
    }
}

/// Deletes a step. The focus goes to the one in its place, or to the last.
pub(super) fn delete_step(step: StepHandle, row_focus: RowFocus) {
    let next = step.neighbour(1).or_else(|| step.neighbour(-1));
    step.delete();
    if let Some(next) = next {
        queue_microtask(move || row_focus.focus(next));
    }
}

/// Closes the fields of a step: the focus goes to its row.
pub(super) fn close_step(step: StepHandle, row_focus: RowFocus) {
    step.deselect();
    row_focus.focus(step.id);
}

/// Scrolls the list as little as it takes to have an element of it in view.
pub(super) fn scroll_to(element: &Element) {
    let to = web_sys::ScrollIntoViewOptions::new();
    to.set_block(web_sys::ScrollLogicalPosition::Nearest);
    element.scroll_into_view_with_scroll_into_view_options(&to);
}

/// Keeps the focus on an element of the list over the change that is about to be drawn: `<For>` takes
/// a row that moves out of the page and puts it in again, and what is taken out loses the focus.
pub(super) fn keep_focus(list: NodeRef<Ol>) {
    let inside = |e: &Element| list.get_untracked().is_some_and(|list| list.contains(Some(e)));
    let focused = document().active_element().filter(inside);
    let Some(focused) = focused.and_then(|e| e.dyn_into::<HtmlElement>().ok()) else { return };
    // After the change: it is drawn before this microtask.
    queue_microtask(move || {
        if focused.is_connected() && document().active_element().as_ref() != Some(&focused) {
            // Focus can only fail on an element that is gone.
            let _ = focused.focus();
        }
    });
}
