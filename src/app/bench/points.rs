use crate::app::dom::{View, each, el, row_name, when};
use crate::app::field::NumberField;
use crate::app::i18n::Key;
use crate::app::sheet::set_height;
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// The height of every point, typed: the equal of dragging it in the elevation.
pub(super) fn points_panel() -> View {
    let workspace = workspace();
    let names = Memo::new(move |_| {
        workspace.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>()
    });
    let field = move |name: String| {
        let (label, test_id, of) = (name.clone(), format!("z-{name}"), name.clone());
        let value = move || workspace.routine().point(&of).map_or(0.0, |p| p.at.z);
        NumberField::new(test_id, label, value, move |v| set_height(workspace, &name, v)).view()
    };
    el("div")
        .class("drawer-row")
        .group(Key::Heights)
        .test_id("point-heights")
        .child(row_name(Key::Heights))
        .child(when(
            move || names.read().is_empty(),
            || el("span").class("empty").text(Key::NoPoints),
        ))
        .child(each(move || names.get(), field))
}
