//! What a class may see and ask for, by the set-up that was opened.

use crate::app::logic::class_setup::{ALL_HINTS, ClassPanel, ClassSetup, ClassTheme, ClassUnits};
use crate::app::settings::{Settings, Theme};
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use std::sync::Arc;

/// The rules of a class. They last as long as the page.
#[derive(Clone, Copy)]
pub(crate) struct ClassRules {
    workspace: Workspace,
    settings: Settings,
    hidden: RwSignal<Vec<ClassPanel>>,
    hints: RwSignal<u8>,
}

impl ClassRules {
    /// Everything is shown and allowed.
    pub(crate) fn new(workspace: Workspace, settings: Settings) -> Self {
        let (hidden, hints) = (RwSignal::default(), RwSignal::new(ALL_HINTS));
        Self { workspace, settings, hidden, hints }
    }

    /// Puts the page as the set-up says.
    pub(crate) fn apply(self, setup: &ClassSetup) {
        self.hidden.set(setup.hide.clone());
        self.hints.set(setup.hints);
        if let Some(speed) = setup.speed {
            self.workspace.speed.set(speed);
        }
        if let Some(house) = &setup.house_rules {
            self.workspace.judge_by(Some(Arc::new(house.clone())));
        }
        let settings = self.settings;
        untrack(|| {
            if let Some(units) = setup.units {
                settings.show_inches(units == ClassUnits::Inches);
            }
            if let Some(theme) = setup.theme {
                let blueprint = theme == ClassTheme::Blueprint;
                settings.show_theme(if blueprint { Theme::Blueprint } else { Theme::Paper });
            }
            if setup.projector.is_some_and(|on| on != settings.projector()) {
                settings.toggle_projector();
            }
        });
    }

    /// Whether a panel is shown; tracked.
    pub(crate) fn shows(self, panel: ClassPanel) -> bool {
        !self.hidden.read().contains(&panel)
    }

    /// How many of the hints may be asked for; tracked.
    pub(crate) fn hints(self) -> usize {
        self.hints.get().into()
    }
}

/// The rules of this page.
pub(crate) fn class_rules() -> ClassRules {
    expect_context()
}
