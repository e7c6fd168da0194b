//! The place where lessons and free work begin.

mod course;
mod days;
mod from_disk;
mod lesson_card;
mod own_lessons;
mod refresher_card;
mod skill_row;
mod stage_line;
mod stored;

pub(crate) use course::{Course, Next, course};
pub(crate) use days::{day_text, today};
pub(crate) use own_lessons::read_stored;
pub(crate) use skill_row::SkillRow;
pub(crate) use stage_line::StageLine;
pub(crate) use stored::unreadable_records;

use super::controls::Note;
use super::i18n::{Key, format, text};
use super::logic::number::length;
use super::workspace::workspace;
use from_disk::LessonsFromDisk;
use leptos::prelude::*;
use lesson_card::LessonCard;
use nudgeproof::cell::{Part, parts};
use nudgeproof::lesson::lessons;
use nudgeproof::session::{Header, Session};
use refresher_card::RefresherCard;
use std::sync::Arc;

/// Seed of free work: the lesson seeds are others.
const FREE_SEED: u64 = 1;

/// Lessons, the refresher, lessons from disk, and parts to work on freely.
#[component]
pub(crate) fn Lessons() -> impl IntoView {
    let cards = lessons().iter().enumerate().map(|(number, lesson)| {
        view! { <LessonCard lesson=Arc::new(lesson.clone()) number /> }
    });
    let parts = parts().into_iter().map(|part| view! { <PartCard part /> });
    view! {
        <div class="page lessons" data-testid="lessons">
            <h1>{text(Key::PlaceLessons)}</h1>
            <p class="lead">{text(Key::LessonsLead)}</p>
            <RefresherCard />
            <h2>{text(Key::TheCourse)}</h2>
            <div class="cards">{cards.collect_view()}</div>
            <LessonsFromDisk />
            <h2>{text(Key::FreeWork)}</h2>
            <p class="lead">{text(Key::FreeWorkLead)}</p>
            <div class="cards">{parts.collect_view()}</div>
        </div>
    }
}

/// A part to work on freely.
#[component]
fn PartCard(part: Part) -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let (title, name) = (part.title.clone(), part.name.clone());
    let play = &part.play;
    let play = [length(play.dx, 0), length(play.dy, 0), play.turn_deg.to_string()];
    let begin = move |_| match Session::new(Header::new(part.clone(), FREE_SEED)) {
        Ok(session) => course.open(session),
        Err(why) => workspace.warn(why.to_string()),
    };
    view! {
        <article class="card" data-testid=format!("card-part-{name}")>
            <h3>{title}</h3>
            <Note>{format(Key::PartPlay, &[&play[0], &play[1], &play[2]])}</Note>
            <button type="button" data-testid=format!("free-{name}") on:click=begin>
                {text(Key::WorkFreely)}
            </button>
        </article>
    }
}
