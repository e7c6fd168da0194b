use super::course::course;
use crate::app::desk::desk;
use crate::app::dom::{Part, button, el};
use crate::app::live::memo;
use crate::app::screen;
use crate::app::words::Word;

/// The stage under way in one line, where the lesson itself is out of sight.
pub(crate) fn stage_line() -> impl Part {
    let (desk, course) = (desk(), course());
    let title = memo(move || {
        let done = course.standing.read().done;
        let attempt = desk.attempt.read();
        (*attempt).as_ref().and_then(|l| Some(l.stages.get(done)?.title.clone()))
    });
    move || {
        title.get().map(|t| {
            el("p").class("stage-line").child(
                button("to-lesson")
                    .click(move || {
                        course.guide.set(true);
                        screen::show_soon("#guide");
                    })
                    .child(el("b").text(Word::Now).text(": "))
                    .text(t),
            )
        })
    }
}
