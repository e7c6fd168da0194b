//! The place where lessons and free work begin.

mod card;
mod course;
mod days;
mod disk;
mod refresh;

pub(crate) use course::{Course, Next, course, put_aside};
pub(crate) use days::{day_text, today};
pub(crate) use disk::read_kept;

use super::desk::desk;
use super::logic::number::length;
use super::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::{Part, parts};
use nudgeproof::lesson::lessons;
use nudgeproof::session::{Header, Session};
use std::sync::Arc;

/// Seed of free work: the lesson seeds are others.
const FREE_SEED: u64 = 1;

/// Lessons, the refresher, lessons from disk, and parts to work on freely.
#[component]
pub(crate) fn LessonsPlace() -> impl IntoView {
    let cards = lessons().iter().enumerate().map(|(i, l)| {
        view! { <card::LessonCard lesson=Arc::new(l.clone()) place=Some(i + 1)/> }
    });
    view! {
        <div class="page lessons" data-testid="lessons">
            <h1>{say(Word::PlaceLessons)}</h1>
            <p class="lead">{say(Word::LessonsLead)}</p>
            <refresh::Refresher/>
            <h2>{say(Word::TheCourse)}</h2>
            <div class="cards">{cards.collect_view()}</div>
            <disk::FromDisk/>
            <h2>{say(Word::FreeWork)}</h2>
            <p class="lead">{say(Word::FreeWorkLead)}</p>
            <div class="cards">
                {parts().into_iter().map(|p| view! { <PartCard part=p/> }).collect_view()}
            </div>
        </div>
    }
}

#[component]
fn PartCard(part: Part) -> impl IntoView {
    let (desk, course) = (desk(), course());
    let (title, name, play) = (part.title.clone(), part.name.clone(), part.play);
    let begin = move |_| match Session::new(Header::new(part.clone(), FREE_SEED)) {
        Ok(session) => course.go_to_bench(session),
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
