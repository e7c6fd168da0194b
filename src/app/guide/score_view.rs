use crate::app::dom::{View, el};
use crate::app::words::{Word, say, tell};
use nudgeproof::coach::{Review, ScorePart};
use std::sync::Arc;

/// One part of a score: what for, points, out of, why; and its name for tests.
pub(super) type Part = (&'static str, u8, u8, String, &'static str);

/// The score and what it is made of.
pub(crate) fn score_view(review: Arc<Review>) -> View {
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
pub(super) fn score_list(name: Word, test_id: &'static str, total: u8, parts: Vec<Part>) -> View {
    let part = |(name, points, of, reason, test_id): Part| {
        let (points, of) = (points.to_string(), of.to_string());
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
            .child(el("span").class("score-points").text(tell(Word::PointsOf, &[&points, &of])))
            .child(el("span").class("score-reason").text(reason))
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
