use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::coach::{Review, ScorePart};
use std::sync::Arc;

/// One part of a score: what for, points, out of, why; and its name for tests.
pub(super) type Part = (&'static str, u8, u8, String, &'static str);

/// The score and what it is made of.
#[component]
pub(crate) fn ScoreView(
    /// What the coach says of the session.
    review: Arc<Review>,
) -> impl IntoView {
    let score = Arc::unwrap_or_clone(review).score;
    let part = |word: Word, part: ScorePart, test_id: &'static str| -> Part {
        (say(word), part.points, part.of, part.reason, test_id)
    };
    let parts = vec![
        part(Word::ScoreWeld, score.weld, "score-weld"),
        part(Word::ScoreMethod, score.method, "score-method"),
        part(Word::ScoreSafety, score.safety, "score-safety"),
    ];
    score_list(Word::Score, "score", score.total, parts)
}

/// A score out of 100 with its parts.
pub(super) fn score_list(
    name: Word,
    test_id: &'static str,
    total: u8,
    parts: Vec<Part>,
) -> AnyView {
    let part = |(name, points, of, reason, test_id): Part| {
        let (points, of) = (points.to_string(), of.to_string());
        view! {
            <li data-testid=test_id data-value=points.clone()>
                <span class="score-name">{name}</span>
                <meter min="0" max=of.clone() value=points.clone() aria-label=name></meter>
                <span class="score-points">{tell(Word::PointsOf, &[&points, &of])}</span>
                <span class="score-reason">{reason}</span>
            </li>
        }
    };
    view! {
        <div class="score" data-testid=test_id data-value=total.to_string()>
            <p class="score-total">
                <span>{say(name)}</span>
                " "
                <b>{total}</b>
                <span class="of">" / 100"</span>
            </p>
            <ul class="score-parts">{parts.into_iter().map(part).collect_view()}</ul>
        </div>
    }
    .into_any()
}
