use super::course::course;
use crate::app::dom::{Part, button, el};
use crate::app::i18n::Key;
use crate::app::panels::{Panel, panels};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// The stage under way in one line, where the lesson itself is out of sight.
pub(crate) fn stage_line() -> impl Part {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let title = Memo::new(move |_| {
        let done = course.standing.read().done;
        let attempt = workspace.attempt.read();
        (*attempt).as_ref().and_then(|l| Some(l.stages.get(done)?.title.clone()))
    });
    move || {
        title.get().map(|t| {
            el("p").class("stage-line").child(
                button("to-lesson")
                    .click(move || panels.show(Panel::Guide))
                    .child(el("b").text(Key::Now).text(": "))
                    .text(t),
            )
        })
    }
}
