use crate::app::controls::{Group, NumberField, RowName};
use crate::app::i18n::{Key, text};
use crate::app::sheet::set_height;
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// The height of every point as a number: the same as dragging the points in the elevation.
#[component]
pub(super) fn PointHeights() -> impl IntoView {
    let workspace = workspace();
    let names = Memo::new(move |_| {
        workspace.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>()
    });
    view! {
        <Group class="drawer-row heights" name=text(Key::Heights) test_id="point-heights">
            <RowName>{text(Key::Heights)}</RowName>
            <Show when=move || names.read().is_empty()>
                <span class="empty">{text(Key::NoPoints)}</span>
            </Show>
            <For each=move || names.get() key=|name| name.clone() let(name)>
                <PointHeight name />
            </For>
        </Group>
    }
}

#[component]
fn PointHeight(name: String) -> impl IntoView {
    let workspace = workspace();
    let point = StoredValue::new(name.clone());
    let value = move || workspace.routine().point(&point.read_value()).map_or(0.0, |p| p.at.z);
    let on_commit = move |z: f64| set_height(workspace, &point.read_value(), z);
    view! { <NumberField test_id=format!("z-{name}") label=name value on_commit /> }
}
