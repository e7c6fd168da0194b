use super::shapes::rect;
use super::sheet_view::SheetView;
use crate::app::logic::detail::window;
use leptos::prelude::*;

/// Hatches, and the areas that the views are clipped to.
#[component]
pub(super) fn Definitions() -> impl IntoView {
    let layout = expect_context::<SheetView>().layout;
    let clips = move || {
        let l = layout.get();
        let views =
            [("clip-plan", l.plan), ("clip-side", l.elevation), ("clip-detail", window(&l.detail))];
        let clip = |(id, area)| view! { <clipPath id=id>{rect("", &area)}</clipPath> };
        views.map(clip).into_iter().collect_view()
    };
    view! { <defs><Hatches />{clips}</defs> }
}

/// The hatches that the style sheet fills clamps and upright plates with.
#[component]
pub(crate) fn Hatches() -> impl IntoView {
    view! {
        <pattern
            id="hatch"
            width="5"
            height="5"
            patternUnits="userSpaceOnUse"
            patternTransform="rotate(45)"
        >
            <path class="hatch" d="M0 0V5" />
        </pattern>
        <pattern
            id="cross-hatch"
            width="6"
            height="6"
            patternUnits="userSpaceOnUse"
            patternTransform="rotate(45)"
        >
            <path class="hatch" d="M0 0V6M0 0H6" />
        </pattern>
    }
}
