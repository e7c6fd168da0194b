//! What the viewer chose for the page: theme, unit of lengths, projector, the help key, language.
//!
//! Views read these signals. The browser stores the choices, and the style sheet reads the theme
//! and the projector as attributes of `<html>`; both happen here and nowhere else.

use super::i18n::{self, Language};
use super::logic::number;
use super::{screen, storage};
use leptos::prelude::*;

const THEME: &str = "theme";
const UNITS: &str = "units";
const SINGLE_KEYS: &str = "single-keys";
const LANGUAGE: &str = "language";

/// Colours of the page: ink on paper, or chalk on blueprint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Theme {
    Paper,
    Blueprint,
}

impl Theme {
    /// Its name in storage and in the style sheet.
    fn name(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Blueprint => "blueprint",
        }
    }

    /// As stored, else as the browser prefers.
    fn first() -> Self {
        match storage::setting(THEME).as_deref() {
            Some("blueprint") => Self::Blueprint,
            Some("paper") => Self::Paper,
            _ if screen::matches("(prefers-color-scheme: dark)") => Self::Blueprint,
            _ => Self::Paper,
        }
    }
}

/// The settings of the page. Read in a view, each is tracked.
#[derive(Clone, Copy)]
pub(crate) struct Settings {
    theme: RwSignal<Theme>,
    inches: RwSignal<bool>,
    projector: RwSignal<bool>,
    single_keys: RwSignal<bool>,
    not_stored: RwSignal<bool>,
}

impl Settings {
    /// The stored settings, put into effect.
    pub(crate) fn load() -> Self {
        if storage::setting(LANGUAGE).as_deref() == Some("long") {
            i18n::set_language(Language::Long);
        }
        let inches = storage::setting(UNITS).as_deref() == Some("in");
        number::show_inches(inches);
        let settings = Self {
            theme: RwSignal::new(Theme::first()),
            inches: RwSignal::new(inches),
            projector: RwSignal::new(false),
            single_keys: RwSignal::new(storage::setting(SINGLE_KEYS).as_deref() != Some("off")),
            not_stored: RwSignal::new(false),
        };
        Effect::new(move || screen::set_root("data-theme", settings.theme().name()));
        Effect::new(move || screen::set_root("data-projector", on_off(settings.projector())));
        settings
    }

    pub(crate) fn theme(self) -> Theme {
        self.theme.get()
    }

    /// Whether lengths are shown in inches. What shows lengths is made anew when it changes.
    pub(crate) fn inches(self) -> bool {
        self.inches.get()
    }

    /// Whether the page shows what a class needs to see, larger. Not stored.
    pub(crate) fn projector(self) -> bool {
        self.projector.get()
    }

    /// Whether a key that writes a character acts by itself: that must be possible to turn off (WCAG
    /// 2.2, 2.1.4).
    pub(crate) fn single_keys(self) -> bool {
        self.single_keys.get()
    }

    /// Whether the browser could not store a setting. Becomes true once at most.
    pub(crate) fn not_stored(self) -> bool {
        self.not_stored.get()
    }

    /// Stores a setting of the page.
    pub(crate) fn store(self, name: &str, value: &str) {
        if !storage::set_setting(name, value) && !self.not_stored.get_untracked() {
            self.not_stored.set(true);
        }
    }

    pub(crate) fn show_theme(self, theme: Theme) {
        self.store(THEME, theme.name());
        self.theme.set(theme);
    }

    pub(crate) fn show_inches(self, inches: bool) {
        // First, so that the views the signal updates write the new unit.
        number::show_inches(inches);
        self.store(UNITS, number::unit());
        self.inches.set(inches);
    }

    pub(crate) fn toggle_projector(self) {
        self.projector.update(|on| *on = !*on);
    }

    pub(crate) fn set_single_keys(self, on: bool) {
        self.store(SINGLE_KEYS, on_off(on));
        self.single_keys.set(on);
    }
}

fn on_off(on: bool) -> &'static str {
    if on { "on" } else { "off" }
}

/// The settings of this page.
pub(crate) fn settings() -> Settings {
    expect_context()
}
