//! The panels of the bench: which is in front on a narrow screen, and how one is brought into view.

use leptos::html::{Button, Div, Fieldset, Section};
use leptos::prelude::*;
use web_sys::Element;

/// A part of the bench that can be brought into view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Panel {
    Sheet,
    Routine,
    RunControls,
    Nudge,
    Guide,
    /// Coach and readings, below the lesson in the guide.
    GuideTabs,
    /// The question that the stage under way asks.
    Question,
}

/// The elements of the panels, each set by the panel itself.
#[derive(Clone, Copy, Default)]
pub(crate) struct Panels {
    pub(crate) sheet: NodeRef<Div>,
    pub(crate) routine: NodeRef<Section>,
    pub(crate) run_controls: NodeRef<Div>,
    pub(crate) nudge: NodeRef<Div>,
    pub(crate) guide: NodeRef<Section>,
    pub(crate) guide_tabs: NodeRef<Div>,
    pub(crate) question: NodeRef<Fieldset>,
    /// The first choice of the question.
    pub(crate) first_choice: NodeRef<Button>,
    /// On a narrow screen guide and routine take turns: whether the guide is in front.
    pub(crate) guide_in_front: RwSignal<bool>,
}

/// The panels of this page.
pub(crate) fn panels() -> Panels {
    expect_context()
}

impl Panels {
    /// Brings a panel into view once the page has drawn what has just changed; of a question the
    /// first choice gets the focus.
    pub(crate) fn show(self, panel: Panel) {
        self.guide_in_front.set(panel != Panel::Routine);
        request_animation_frame(move || {
            if let Some(element) = self.element(panel) {
                element.scroll_into_view();
            }
            if panel == Panel::Question
                && let Some(choice) = self.first_choice.get_untracked()
            {
                // Without the focus the question is still in view.
                let _ = choice.focus();
            }
        });
    }

    fn element(self, panel: Panel) -> Option<Element> {
        match panel {
            Panel::Sheet => self.sheet.get_untracked().map(Into::into),
            Panel::Routine => self.routine.get_untracked().map(Into::into),
            Panel::RunControls => self.run_controls.get_untracked().map(Into::into),
            Panel::Nudge => self.nudge.get_untracked().map(Into::into),
            Panel::Guide => self.guide.get_untracked().map(Into::into),
            Panel::GuideTabs => self.guide_tabs.get_untracked().map(Into::into),
            Panel::Question => self.question.get_untracked().map(Into::into),
        }
    }
}
