use super::finding_view::FindingCard;
use super::score_view::ScoreView;
use crate::app::desk::desk;
use crate::app::live::memo;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::coach;

/// What the coach has to say: quiet while the routine is built and while a run is shown; after it,
/// the worst first.
#[component]
pub(super) fn CoachPanel() -> impl IntoView {
    let desk = desk();
    let running = memo(move || desk.playback.beat().is_some_and(|p| p.t < p.until));
    let ran = move || !desk.now.read().state.runs.is_empty();
    let quiet = move || {
        let marks = coach::check_routine(&desk.state());
        if marks.is_empty() {
            let word =
                if desk.routine().steps.is_empty() { Word::CoachWaits } else { Word::CoachQuiet };
            return view! { <p class="empty" data-testid="coach-quiet">{say(word)}</p> }.into_any();
        }
        view! {
            <p class="fine">{tell(Word::CoachMarks, &[&marks.len().to_string()])}</p>
            {marks.into_iter().map(|f| view! { <FindingCard finding=f open=false/> }).collect_view()}
        }
        .into_any()
    };
    let spoken = move || {
        let review = desk.review.get();
        let findings = review.findings.clone();
        view! {
            <ScoreView review=review.clone()/>
            {findings.is_empty().then(|| view! {
                <p class="no-findings" data-testid="no-findings">{say(Word::NoFindings)}</p>
            })}
            {findings.into_iter().enumerate().map(|(i, f)| view! {
                <FindingCard finding=f open={i == 0}/>
            }).collect_view()}
        }
        .into_any()
    };
    view! {
        <div class="coach" data-testid="coach">
            {move || {
                if running.get() {
                    view! { <p class="empty">{say(Word::CoachWatches)}</p> }.into_any()
                } else if ran() {
                    spoken()
                } else {
                    quiet()
                }
            }}
        </div>
    }
}
