//! The panels of the bench: which is in front on a narrow screen, and how one is brought into view.

use super::i18n::Key;
use leptos::html::{Button, Div, Fieldset, Section};
use leptos::prelude::*;
use leptos::svg::G;
use web_sys::{Element, HtmlButtonElement};

/// A part of the bench that can be brought into view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Panel {
    Sheet,
    Routine,
    RunControls,
    Nudge,
    Readings,
    /// The card with the lesson.
    Lesson,
    /// The same card with the coach.
    Coach,
    /// The question that the stage under way asks.
    Question,
}

/// A detail of the sheet that can be opened large.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Detail {
    /// The offset, at the origin.
    Offset,
    WeldStart,
    WeldEnd,
}

impl Detail {
    /// Start and end of the weld.
    pub(crate) const ENDS: [Self; 2] = [Self::WeldStart, Self::WeldEnd];

    /// Its letter: A and B are the ends of the weld.
    pub(crate) fn letter(self) -> &'static str {
        match self {
            Self::Offset => "O",
            Self::WeldStart => "A",
            Self::WeldEnd => "B",
        }
    }

    pub(crate) fn title(self) -> Key {
        match self {
            Self::Offset => Key::DetailOffset,
            Self::WeldStart => Key::DetailStart,
            Self::WeldEnd => Key::DetailEnd,
        }
    }

    /// Its name for tests.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Offset => "offset",
            Self::WeldStart => "start",
            Self::WeldEnd => "end",
        }
    }
}

/// What stands in the pane of a phone, and beside the sheet elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Pane {
    #[default]
    Now,
    Steps,
    More,
}

impl Pane {
    pub(crate) const ALL: [Self; 3] = [Self::Now, Self::Steps, Self::More];

    /// Its name for the style sheet and for tests.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Now => "now",
            Self::Steps => "steps",
            Self::More => "more",
        }
    }

    pub(crate) fn name(self) -> Key {
        match self {
            Self::Now => Key::Now,
            Self::Steps => Key::PaneSteps,
            Self::More => Key::PaneMore,
        }
    }
}

/// What stands under the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Strip {
    #[default]
    Elevation,
    Readings,
    Charts,
}

/// The elements of the panels, each set by the panel itself.
#[derive(Clone, Copy, Default)]
pub(crate) struct Panels {
    pub(crate) sheet: NodeRef<Div>,
    /// The torch on the plan, and in the elevation.
    pub(crate) torch: NodeRef<G>,
    pub(crate) torch_height: NodeRef<G>,
    pub(crate) now: NodeRef<Section>,
    pub(crate) nudge: NodeRef<Div>,
    pub(crate) question: NodeRef<Fieldset>,
    /// The first choice of the question.
    pub(crate) first_choice: NodeRef<Button>,
    /// The first of the buttons for how sure one is, where a prediction is asked for.
    pub(crate) first_certainty: NodeRef<Button>,
    /// Whether a prediction has its answer, and how sure one is is still to be said.
    pub(crate) certainty_waits: RwSignal<bool>,
    /// Which pane is in front on a phone.
    pub(crate) pane: RwSignal<Pane>,
    /// What stands under the plan.
    pub(crate) strip: RwSignal<Strip>,
    /// The detail that is open.
    pub(crate) detail: RwSignal<Option<Detail>>,
    /// Whether every step that can be added is shown, and not only what fits next.
    pub(crate) all_steps: RwSignal<bool>,
    /// Whether the coach has the card in which a lesson stands otherwise.
    pub(crate) coach_in_front: RwSignal<bool>,
}

/// The panels of this page.
pub(crate) fn panels() -> Panels {
    expect_context()
}

impl Panels {
    /// Brings a panel into view once the page has drawn what has just changed; of a question the
    /// first choice gets the focus, or how sure one is if only that is still to be said.
    pub(crate) fn show(self, panel: Panel) {
        match panel {
            // These are always in view.
            Panel::Sheet | Panel::RunControls => {}
            Panel::Readings => self.strip.set(Strip::Readings),
            Panel::Routine => self.pane.set(Pane::Steps),
            Panel::Nudge => self.pane.set(Pane::More),
            Panel::Lesson | Panel::Coach | Panel::Question => {
                self.pane.set(Pane::Now);
                self.coach_in_front.set(panel == Panel::Coach);
            }
        }
        request_animation_frame(move || {
            if let Some(element) = self.element(panel) {
                element.scroll_into_view();
            }
            if panel == Panel::Question
                && let Some(choice) = self.first_to_say()
            {
                // Without the focus the question is still in view.
                let _ = choice.focus();
            }
        });
    }

    /// The button with which the question goes on.
    fn first_to_say(self) -> Option<HtmlButtonElement> {
        let certainty = self.first_certainty.get_untracked();
        // It can be pressed once there is an answer.
        let certainty = certainty.filter(|_| self.certainty_waits.get_untracked());
        certainty.or_else(|| self.first_choice.get_untracked())
    }

    /// What has to be scrolled to inside its pane.
    fn element(self, panel: Panel) -> Option<Element> {
        match panel {
            Panel::Nudge => self.nudge.get_untracked().map(Into::into),
            Panel::Question => self.question.get_untracked().map(Into::into),
            _ => None,
        }
    }
}
