//! The place where lessons and free work begin.

use super::desk::desk;
use super::logic::number::length;
use super::place::Place;
use super::words::{Word, say, tell};
use crate::app::live::memo;
use leptos::prelude::*;
use nudgeproof::cell::{Part, parts};
use nudgeproof::lesson::{Lesson, lessons};
use nudgeproof::session::{Header, Session};

/// Seed of free work: the lesson seeds are others.
const FREE_SEED: u64 = 1;

fn go_to_bench(session: Session) {
    desk().replace(session);
    if let Some(window) = web_sys::window() {
        // A hash is always a valid address.
        let _ = window.location().set_hash(Place::Bench.hash());
    }
}

/// Lessons, and parts to work on freely.
#[component]
pub(crate) fn LessonsPlace() -> impl IntoView {
    view! {
        <div class="page lessons" data-testid="lessons">
            <h1>{say(Word::PlaceLessons)}</h1>
            <p class="lead">{say(Word::LessonsLead)}</p>
            <div class="cards">
                {lessons().iter().map(|l| view! { <LessonCard lesson=l/> }).collect_view()}
            </div>
            <h2>{say(Word::FreeWork)}</h2>
            <p class="lead">{say(Word::FreeWorkLead)}</p>
            <div class="cards">
                {parts().into_iter().map(|p| view! { <PartCard part=p/> }).collect_view()}
            </div>
        </div>
    }
}

#[component]
fn LessonCard(lesson: &'static Lesson) -> impl IntoView {
    let desk = desk();
    // The lesson under way shows how far it is, and goes on instead of beginning again.
    let done = memo(move || {
        desk.now.track();
        desk.with_session(|s| {
            (s.header().lesson.as_deref() == Some(&*lesson.name)).then(|| lesson.progress(s).done)
        })
    });
    let total = lesson.stages.len().to_string();
    let begin = move |_| match lesson.start() {
        Ok(session) => go_to_bench(session),
        Err(why) => desk.tell_grave(why.to_string()),
    };
    view! {
        <article class="card" data-testid=format!("card-{}", lesson.name)>
            <h2>{lesson.title.clone()}</h2>
            <p>{lesson.about.clone()}</p>
            <p class="fine">{tell(Word::LessonTakes, &[&lesson.minutes.to_string(), &total])}</p>
            {move || done.get().map(|d| view! {
                <p class="fine">{tell(Word::ProgressIs, &[&d.to_string(), &lesson.stages.len().to_string()])}</p>
                <a class="button" href=Place::Bench.hash()>{say(Word::GoOn)}</a>
            })}
            <button type="button" class="run-button" data-testid=format!("start-{}", lesson.name) on:click=begin>
                {move || say(if done.get().is_some() { Word::BeginAgain } else { Word::Begin })}
            </button>
        </article>
    }
}

#[component]
fn PartCard(part: Part) -> impl IntoView {
    let desk = desk();
    let (title, name, play) = (part.title.clone(), part.name.clone(), part.play);
    let begin = move |_| match Session::new(Header::new(part.clone(), FREE_SEED)) {
        Ok(session) => go_to_bench(session),
        Err(why) => desk.tell_grave(why.to_string()),
    };
    view! {
        <article class="card" data-testid=format!("card-part-{name}")>
            <h3>{title}</h3>
            <p class="fine">
                {tell(Word::PartPlay, &[&length(play.dx, 0), &length(play.dy, 0), &play.turn_deg.to_string()])}
            </p>
            <button type="button" data-testid=format!("free-{name}") on:click=begin>{say(Word::WorkFreely)}</button>
        </article>
    }
}
