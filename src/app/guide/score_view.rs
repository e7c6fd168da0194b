use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::coach::{Review, ScorePart};
use std::sync::Arc;

/// The score and what it is made of.
#[component]
pub(crate) fn ScoreView(
    /// What the coach says of the session.
    review: Arc<Review>,
) -> impl IntoView {
    let score = Arc::unwrap_or_clone(review).score;
    let part = |word: Word, part: &ScorePart, test_id: &'static str| {
        let (points, of) = (part.points.to_string(), part.of.to_string());
        view! {
            <li data-testid=test_id data-value=points.clone()>
                <span class="score-name">{say(word)}</span>
                <meter min="0" max=of.clone() value=points.clone()
                    aria-label=say(word)></meter>
                <span class="score-points">{tell(Word::PointsOf, &[&points, &of])}</span>
                <span class="score-reason">{part.reason.clone()}</span>
            </li>
        }
    };
    view! {
        <div class="score" data-testid="score" data-value=score.total.to_string()>
            <p class="score-total">
                <span>{say(Word::Score)}</span>
                " "
                <b>{score.total}</b>
                <span class="of">" / 100"</span>
            </p>
            <ul class="score-parts">
                {part(Word::ScoreWeld, &score.weld, "score-weld")}
                {part(Word::ScoreMethod, &score.method, "score-method")}
                {part(Word::ScoreSafety, &score.safety, "score-safety")}
            </ul>
        </div>
    }
}
