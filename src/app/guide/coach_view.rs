use super::finding_view::FindingCard;
use super::score_view::ScoreView;
use crate::app::desk::desk;
use crate::app::live::memo;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;

/// What the coach has to say: quiet while the routine is built and while a run is shown; after it,
/// the worst first.
#[component]
pub(super) fn CoachPanel() -> impl IntoView {
    let desk = desk();
    let running = memo(move || desk.playback.beat().is_some_and(|p| p.t < p.until));
    let ran = memo(move || !desk.runs.read().is_empty());
    let watches = || view! { <p class="empty">{say(Word::CoachWatches)}</p> }.into_any();
    let quiet = move || {
        let marks = desk.review.marks().get();
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
        let Some(review) = desk.review.last() else { return watches() };
        let findings = review.findings.clone();
        view! {
            // A lesson has a score of its own.
            {desk.attempt.read().is_none().then(|| view! { <ScoreView review=review.clone()/> })}
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
        <div class="coach" data-testid="coach" aria-busy=move || desk.review.busy().to_string()>
            {move || {
                if running.get() {
                    watches()
                } else if ran.get() {
                    spoken()
                } else {
                    quiet()
                }
            }}
        </div>
    }
}
