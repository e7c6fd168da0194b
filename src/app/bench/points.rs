use crate::app::desk::desk;
use crate::app::field::NumberField;
use crate::app::live::{each, memo};
use crate::app::sheet::set_height;
use crate::app::words::{Word, say};
use leptos::prelude::*;

/// The height of every point, typed: the equal of dragging it in the elevation.
#[component]
pub(super) fn PointsPanel() -> impl IntoView {
    let desk = desk();
    let names =
        memo(move || desk.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>());
    let field = move |name: String| {
        let (label, test_id, of) = (name.clone(), format!("z-{name}"), name.clone());
        let value = Signal::derive(move || desk.routine().point(&of).map_or(0.0, |p| p.at.z));
        view! {
            <NumberField label=label value=value commit=move |v| set_height(desk, &name, v) test_id=test_id/>
        }
        .into_any()
    };
    view! {
        <div class="drawer-row" role="group" aria-label=say(Word::Heights) data-testid="point-heights">
            <span class="row-name">{say(Word::Heights)}</span>
            <Show when=move || names.read().is_empty()>
                <span class="empty">{say(Word::NoPoints)}</span>
            </Show>
            {each(move || names.get(), field)}
        </div>
    }
}
