//! A drill: name what is wrong with the cell, and mend it.

use crate::app::desk::desk;
use crate::app::live::memo;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Cause, Lesson};
use nudgeproof::session::Action;

/// The causes to choose from, each with its mend.
#[component]
pub(super) fn DrillView(lesson: &'static Lesson) -> impl IntoView {
    let desk = desk();
    let named = memo(move || {
        desk.now.track();
        desk.with_session(|s| s.state().named.clone())
    });
    let row = move |cause: &'static Cause| {
        let tried = move || named.get().iter().any(|n| n == cause.name);
        let right = move || tried() && lesson.cause() == Some(cause.name);
        view! {
            <li>
                <button type="button" data-testid=format!("cause-{}", cause.name)
                    disabled=tried aria-pressed=move || tried().to_string()
                    on:click=move |_| { desk.act(Action::Name { cause: cause.name.into() }); }>
                    {cause.says}
                </button>
                <button type="button" class="mend" data-testid=format!("repair-{}", cause.name)
                    on:click=move |_| { desk.act(mend(cause, desk.peek().settings.stick_out_mm)); }>
                    {cause.mend}
                </button>
                {move || tried().then(|| view! {
                    <p role="status">{if right() {
                        tell(Word::CauseRight, &[cause.sign])
                    } else {
                        say(Word::CauseOther).to_owned()
                    }}</p>
                })}
            </li>
        }
    };
    view! {
        <fieldset class="ask" data-testid="drill">
            <legend>{say(Word::CauseAsk)}</legend>
            <ul class="causes">{lesson.causes().into_iter().map(row).collect_view()}</ul>
        </fieldset>
    }
}

fn mend(cause: &Cause, stick_out_mm: f64) -> Action {
    match cause.name {
        "wire-bent" | "stick-out-changed" => Action::CutWire { stick_out_mm },
        other => Action::ClearFault { fault: other.into() },
    }
}
