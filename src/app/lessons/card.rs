use super::course::course;
use super::disk;
use crate::app::desk::desk;
use crate::app::live::when;
use crate::app::place::Place;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, PASS};
use std::sync::Arc;

/// A lesson to begin: what it is about, how long it takes, how it went before.
#[component]
pub(super) fn LessonCard(
    lesson: Arc<Lesson>,
    /// Its place in the course, from 1; none for one from disk.
    place: Option<usize>,
) -> impl IntoView {
    let (desk, course) = (desk(), course());
    let name = lesson.name.clone();
    let total = lesson.stages.len().to_string();
    let (mine, of_mine) = (name.clone(), name.clone());
    // The lesson under way shows how far it is, and can be gone on with.
    let under_way = move || {
        let attempt = desk.attempt.read();
        let this = attempt.as_ref().is_some_and(|a| a.name == mine);
        this.then(|| course.standing.get()).filter(|s| !s.finished())
    };
    let under_way = Memo::new(move |_| under_way());
    let kept = Memo::new(move |_| {
        let records = course.records.read();
        let scores: Vec<u8> =
            records.iter().filter(|r| r.lesson == of_mine).map(|r| r.score).collect();
        scores.iter().max().map(|best| (*best, scores.len()))
    });
    // One of all the buttons stands out: that of the next lesson to take.
    let this = name.clone();
    let next = Memo::new(move |_| {
        under_way.read().is_none()
            && course.unpassed_after("").is_none_or(|l| l.name == this || place.is_none())
    });
    let how = move || {
        kept.get().map(|(best, n)| {
            let word = if best >= PASS { Word::LessonPassed } else { Word::LessonTried };
            let text = tell(word, &[&best.to_string(), &n.to_string()]);
            view! { <p class="kept" class:passed={best >= PASS} data-testid="kept">{text}</p> }
        })
    };
    let gone = name.clone();
    let going = {
        let total = total.clone();
        move || {
            let text = under_way.get().map(|s| s.done.to_string()).unwrap_or_default();
            view! {
                <p class="fine">{tell(Word::ProgressIs, &[&text, &total])}</p>
                <a class="button go-on run-button" href=Place::Bench.hash()>{say(Word::GoOn)}</a>
            }
            .into_any()
        }
    };
    let title = match place {
        Some(n) => format!("{n} · {}", lesson.title),
        None => lesson.title.clone(),
    };
    let minutes = lesson.minutes.to_string();
    let about = lesson.about.clone();
    view! {
        <article class="card" data-testid=format!("card-{name}")>
            <h3>{title}</h3>
            <p>{about}</p>
            <p class="fine">{tell(Word::LessonTakes, &[&minutes, &total])}</p>
            {how}
            {when(move || under_way.read().is_some(), going)}
            <div class="row-tools">
                <button type="button" class:run-button=move || next.get() data-testid=format!("start-{name}")
                    on:click=move |_| course.begin(&lesson)>
                    {move || say(match (under_way.read().is_some(), kept.read().is_some()) {
                        (false, false) => Word::Begin,
                        (true, _) => Word::BeginAgain,
                        (false, true) => Word::OnceMore,
                    })}
                </button>
                {place.is_none().then(|| view! {
                    <button type="button" data-testid=format!("remove-{gone}")
                        on:click=move |_| disk::forget(desk, &gone)>{say(Word::RemoveLesson)}</button>
                })}
            </div>
        </article>
    }
}
