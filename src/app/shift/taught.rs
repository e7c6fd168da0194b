use super::parts_so_far::PartsSoFar;
use super::result::ShiftSum;
use super::tray::Tray;
use super::work::ShiftWork;
use crate::app::guide::LessonPanel;
use crate::app::i18n::{Key, text};
use crate::app::lessons::course;
use crate::app::panels::panels;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::Lesson;
use std::sync::Arc;

/// The shift of a lesson, with its stages beside it.
#[component]
pub(crate) fn TaughtShift(lesson: Arc<Lesson>) -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let title = lesson.title.clone();
    let work = ShiftWork::of_lesson(&lesson, workspace, course)?;
    provide_context(work);
    let over = Memo::new(move |_| work.over());
    // On a phone the charts lie under the words: each stage begins with its words.
    let stage = Memo::new(move |_| course.standing.read().done);
    Effect::new(move |before: Option<usize>| {
        let now = stage.get();
        if before.is_some_and(|before| before != now) {
            request_animation_frame(move || {
                if let Some(card) = panels.now.get_untracked() {
                    card.set_scroll_top(0);
                    if card.get_bounding_client_rect().top() < 0.0 {
                        card.scroll_into_view();
                    }
                }
            });
        }
        now
    });
    let asks = Memo::new(move |_| work.asks());
    Some(view! {
        <div class="shift taught" data-testid="shift" data-over=move || over.get().to_string()>
            <header class="shift-head">
                <h1>{title}</h1>
                <Tray />
            </header>
            <section
                class="now-card"
                class:asks=move || asks.get()
                node_ref=panels.now
                aria-label=text(Key::Now)
                tabindex="0"
                data-testid="now"
            >
                <LessonPanel />
            </section>
            <PartsSoFar over result=move || view! { <ShiftSum best=work.best() /> } />
        </div>
    })
}
