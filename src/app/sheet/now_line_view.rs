use super::shapes::circle;
use super::sheet_view::SheetView;
use crate::app::guide::finding_in_front;
use crate::app::logic::now_line::{NowLine, RING, place_of};
use crate::app::logic::svg_path::d;
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// What the finding speaks of that stands first on the card *Now*.
#[component]
pub(super) fn NowLineOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let finding = finding_in_front();
    let mark = Memo::new(move |_| {
        let at = finding.with(|finding| place_of(finding.as_ref()?, &workspace.routine()))?;
        Some(view.layout.with(|l| NowLine::new(&at, l)))
    });
    let drawing = move || {
        let NowLine { ring, line } = mark.get()?;
        Some(view! {
            <g class="now-line" data-testid="now-line">
                {line.map(|line| view! { <path d=d(&line) /> })}
                {circle("", ring, RING)}
            </g>
        })
    };
    view! { {drawing} }
}
