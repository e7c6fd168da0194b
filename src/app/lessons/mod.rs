//! The place where lessons and free work begin.

mod card;
mod course;
mod days;
mod disk;
mod mastery;
mod own;
mod refresh;
mod stage_line;

pub(crate) use course::{Course, Next, course, put_aside};
pub(crate) use days::{day_text, today};
pub(crate) use mastery::skill_row;
pub(crate) use own::read_kept;
pub(crate) use stage_line::stage_line;

use super::dom::{View, button, el, note};
use super::i18n::{Key, format};
use super::logic::number::length;
use super::workspace::workspace;
use nudgeproof::cell::{Part, parts};
use nudgeproof::lesson::lessons;
use nudgeproof::session::{Header, Session};
use std::sync::Arc;

/// Seed of free work: the lesson seeds are others.
const FREE_SEED: u64 = 1;

/// Lessons, the refresher, lessons from disk, and parts to work on freely.
pub(crate) fn lessons_place() -> View {
    let cards = lessons()
        .iter()
        .enumerate()
        .map(|(i, l)| card::lesson_card(Arc::new(l.clone()), Some(i + 1)));
    el("div")
        .class("page lessons")
        .test_id("lessons")
        .child(el("h1").text(Key::PlaceLessons))
        .child(el("p").class("lead").text(Key::LessonsLead))
        .child(refresh::refresher())
        .child(el("h2").text(Key::TheCourse))
        .child(el("div").class("cards").children(cards))
        .child(disk::from_disk())
        .child(el("h2").text(Key::FreeWork))
        .child(el("p").class("lead").text(Key::FreeWorkLead))
        .child(el("div").class("cards").children(parts().into_iter().map(part_card)))
}

fn part_card(part: Part) -> View {
    let (workspace, course) = (workspace(), course());
    let (title, name, play) = (part.title.clone(), part.name.clone(), part.play);
    let begin = move || match Session::new(Header::new(part.clone(), FREE_SEED)) {
        Ok(session) => course.go_to_bench(session),
        Err(why) => workspace.warn(why.to_string()),
    };
    el("article")
        .class("card")
        .test_id(format!("card-part-{name}"))
        .child(el("h3").text(title))
        .child(note().text(format(
            Key::PartPlay,
            &[&length(play.dx, 0), &length(play.dy, 0), &play.turn_deg.to_string()],
        )))
        .child(button(format!("free-{name}")).click(begin).text(Key::WorkFreely))
}
