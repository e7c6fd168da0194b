use crate::app::guide::{SessionScore, finding_line};
use crate::app::i18n::{Key, text, words};
use crate::app::lessons::course;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::coach::Review;
use std::sync::Arc;

/// The findings of the coach, once the whole session is reviewed.
#[component]
pub(super) fn CoachFindings() -> impl IntoView {
    let (review, course) = (workspace().review, course());
    review.request();
    let findings = move || match review.last().filter(|_| !review.busy()) {
        _ if course.names_causes_later() => {
            view! { <p class="empty">{text(Key::CoachInDrill)}</p> }.into_any()
        }
        Some(review) => view! { <Reviewed review /> }.into_any(),
        None => view! { <p class="empty">{text(Key::CoachStillLooks)}</p> }.into_any(),
    };
    view! {
        <div data-testid="record-coach" aria-busy=move || review.busy().to_string()>
            {findings}
        </div>
    }
}

#[component]
fn Reviewed(review: Arc<Review>) -> impl IntoView {
    let lines = review.findings.iter().map(|finding| {
        view! {
            <li>
                <b>{finding.rule.title(words())}</b>
                ". "
                {finding_line(finding)}
            </li>
        }
    });
    let lines = lines.collect_view();
    let none = review.findings.is_empty().then(|| view! { <p>{text(Key::NothingFound)}</p> });
    view! {
        <SessionScore score=review.score.clone() />
        <ul class="finding-lines">{lines}</ul>
        {none}
    }
}
