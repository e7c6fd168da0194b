use super::finding_view::finding_card;
use super::score_view::score_view;
use crate::app::desk::desk;
use crate::app::dom::{View, el, note, several};
use crate::app::live::memo;
use crate::app::words::{Word, tell};

/// What the coach has to say: quiet while the routine is built and while a run is shown; after it,
/// the worst first.
pub(super) fn coach_panel() -> View {
    let desk = desk();
    let running = memo(move || desk.playback.beat().is_some_and(|p| p.t < p.until));
    let ran = memo(move || !desk.runs.read().is_empty());
    let watches = || el("p").class("empty").text(Word::CoachWatches);
    let quiet = move || {
        let marks = desk.review.marks().get();
        if marks.is_empty() {
            let word =
                if desk.routine().steps.is_empty() { Word::CoachWaits } else { Word::CoachQuiet };
            return el("p").class("empty").test_id("coach-quiet").text(word);
        }
        several()
            .child(note().text(tell(Word::CoachMarks, &[&marks.len().to_string()])))
            .children(marks.into_iter().filter_map(|f| finding_card(f, false)))
    };
    let spoken = move || {
        let Some(review) = desk.review.last() else { return watches() };
        let findings = review.findings.clone();
        several()
            .child(desk.attempt.read().is_none().then(|| score_view(review.clone())))
            .child(findings.is_empty().then(|| {
                el("p").class("no-findings").test_id("no-findings").text(Word::NoFindings)
            }))
            .children(findings.into_iter().enumerate().filter_map(|(i, f)| finding_card(f, i == 0)))
    };
    el("div")
        .class("coach")
        .test_id("coach")
        .attr("aria-busy", move || desk.review.busy().to_string())
        .child(move || {
            if running.get() {
                watches()
            } else if ran.get() {
                spoken()
            } else {
                quiet()
            }
        })
}
