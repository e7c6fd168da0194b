use super::course::course;
use crate::app::i18n::{Key, text};
use crate::app::panels::{Panel, panels};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// The stage under way in one line, where the lesson itself is out of sight.
#[component]
pub(crate) fn StageLine() -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let title = Memo::new(move |_| {
        let done = course.standing.read().done;
        workspace.attempt.with(|l| Some(l.as_ref()?.stages.get(done)?.title.clone()))
    });
    move || {
        title.get().map(|title| {
            view! {
                <p class="stage-line">
                    <button
                        type="button"
                        data-testid="to-lesson"
                        on:click=move |_| panels.show(Panel::Guide)
                    >
                        <b>{text(Key::Now)}": "</b>
                        {title}
                    </button>
                </p>
            }
        })
    }
}
