use crate::app::dom::{View, el};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::in_unit;
use nudgeproof::coach::{Review, ScorePart};
use std::sync::Arc;

/// One part of a score: what for, its name for tests, the part.
pub(super) type Part = (&'static str, &'static str, ScorePart);

/// The score and what it is made of.
pub(crate) fn score_view(review: Arc<Review>) -> View {
    let score = Arc::unwrap_or_clone(review).score;
    let parts = vec![
        (text(Key::ScoreWeld), "score-weld", score.weld),
        (text(Key::ScoreMethod), "score-method", score.method),
        (text(Key::ScoreSafety), "score-safety", score.safety),
    ];
    score_list(Key::Score, "score", score.total, parts)
}

/// A score out of 100 with its parts.
pub(super) fn score_list(name: Key, test_id: &'static str, total: u8, parts: Vec<Part>) -> View {
    let part = |(name, test_id, part): Part| {
        let (points, of) = (part.points.to_string(), part.of.to_string());
        el("li")
            .test_id(test_id)
            .attr("data-value", points.clone())
            .child(el("span").class("score-name").text(name))
            .child(
                el("meter")
                    .attr("min", "0")
                    .attr("max", of.clone())
                    .attr("value", points.clone())
                    .attr("aria-label", name),
            )
            .child(el("span").class("score-points").text(format(Key::PointsOf, &[&points, &of])))
            .child(el("span").class("score-reason").text(in_unit(&part.reason)))
    };
    el("div")
        .class("score")
        .test_id(test_id)
        .attr("data-value", total.to_string())
        .child(
            el("p")
                .class("score-total")
                .child(el("span").text(name))
                .text(" ")
                .child(el("b").text(total.to_string()))
                .child(el("span").class("of").text(" / 100")),
        )
        .child(el("ul").class("score-parts").children(parts.into_iter().map(part)))
}
