//! What stands under the plan: the elevation, or over it the readings or the charts.

use crate::app::chart::Charts;
use crate::app::controls::Tab;
use crate::app::i18n::{Key, text};
use crate::app::lessons::course;
use crate::app::logic::class_setup::ClassPanel;
use crate::app::panels::{Strip, panels};
use crate::app::presenter::class_rules;
use crate::app::readings::Readings;
use leptos::prelude::*;
use nudgeproof::lesson::LookAt;

/// The names of the three, and the one in front.
#[component]
pub(super) fn StripTabs() -> impl IntoView {
    let (course, panels, rules) = (course(), panels(), class_rules());
    // The memo keeps a second press of the same tab from drawing it anew.
    let strip = Memo::new(move |_| {
        let front = panels.strip.get();
        let shown = match front {
            Strip::Elevation => true,
            Strip::Readings => rules.shows(ClassPanel::Readings),
            Strip::Charts => rules.shows(ClassPanel::Charts),
        };
        if shown { front } else { Strip::Elevation }
    });
    // A stage that is about the readings brings them to the front.
    let looks_at = Memo::new(move |_| course.looks_at());
    Effect::new(move || {
        if matches!(looks_at.get(), Some((_, LookAt::Readings))) {
            panels.strip.set(Strip::Readings);
        }
    });
    let tab = move |this: Strip, name: Key, test_id: &'static str| {
        let selected = Signal::derive(move || strip.get() == this);
        view! {
            <Tab test_id selected on:click=move |_| panels.strip.set(this)>
                {text(name)}
            </Tab>
        }
    };
    let front = move || match strip.get() {
        Strip::Elevation => ().into_any(),
        Strip::Readings => view! {
            <div class="strip-front" role="tabpanel" tabindex="0" aria-label=text(Key::Readings)>
                <Readings />
            </div>
        }
        .into_any(),
        Strip::Charts => view! {
            <div
                class="strip-front charts-front"
                role="tabpanel"
                tabindex="0"
                aria-label=text(Key::TabCharts)
            >
                <Charts />
            </div>
        }
        .into_any(),
    };
    view! {
        <div class="strip-tabs" role="tablist" aria-label=text(Key::StripTabs)>
            {tab(Strip::Elevation, Key::Elevation, "tab-elevation")}
            <Show when=move || rules.shows(ClassPanel::Readings)>
                {tab(Strip::Readings, Key::Readings, "tab-readings")}
            </Show>
            <Show when=move || rules.shows(ClassPanel::Charts)>
                {tab(Strip::Charts, Key::TabCharts, "tab-charts")}
            </Show>
        </div>
        {front}
    }
}
