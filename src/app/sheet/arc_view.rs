use crate::app::logic::shown::arc_burns_at;
use crate::app::logic::svg_path::{burst, d};
use crate::app::workspace::workspace;
use kurbo::Point;
use leptos::prelude::*;

/// The arc at the tip of the wire, while it burns: drawn with the torch, whose place is the origin.
#[component]
pub(super) fn ArcSign() -> impl IntoView {
    let workspace = workspace();
    let burns =
        Memo::new(move |_| workspace.at_beat().is_some_and(|(log, p)| arc_burns_at(&log, p.t)));
    view! {
        <Show when=move || burns.get()>
            <path class="arc-sign" d=d(&burst(Point::ORIGIN)) />
        </Show>
    }
}
