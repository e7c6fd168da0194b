use crate::app::i18n::{Key, format, say, text};
use leptos::prelude::*;
use nudgeproof::coach::{Score, ScorePart};

/// One line of a score.
pub(super) struct ScoreLine {
    pub(super) name: &'static str,
    pub(super) test_id: &'static str,
    pub(super) part: ScorePart,
}

/// The score of a session and what it is made of.
#[component]
pub(crate) fn SessionScore(score: Score) -> impl IntoView {
    let line = |name, test_id, part| ScoreLine { name: text(name), test_id, part };
    let lines = vec![
        line(Key::ScoreWeld, "score-weld", score.weld),
        line(Key::ScoreMethod, "score-method", score.method),
        line(Key::ScoreSafety, "score-safety", score.safety),
    ];
    view! { <ScoreList name=Key::Score test_id="score" total=score.total lines /> }
}

/// A score out of 100 with its parts.
#[component]
pub(super) fn ScoreList(
    name: Key,
    test_id: &'static str,
    total: u8,
    lines: Vec<ScoreLine>,
) -> impl IntoView {
    let line = |ScoreLine { name, test_id, part }| {
        let (points, of) = (part.points.to_string(), part.of.to_string());
        view! {
            <li data-testid=test_id data-value=points.clone()>
                <span class="score-name">{name}</span>
                <meter min="0" max=of.clone() value=points.clone() aria-label=name></meter>
                <span class="score-points">{format(Key::PointsOf, &[&points, &of])}</span>
                <span class="score-reason">{say(&part.reason)}</span>
            </li>
        }
    };
    view! {
        <div class="score" data-testid=test_id data-value=total.to_string()>
            <p class="score-total">
                <span>{text(name)}</span>
                " "
                <b>{total.to_string()}</b>
                <span class="of">" / 100"</span>
            </p>
            <ul class="score-parts">{lines.into_iter().map(line).collect_view()}</ul>
        </div>
    }
}
