//! The place where lessons and free work begin.

mod course;
mod days;
mod from_disk;
mod idea_show;
mod lesson_card;
mod lesson_drawing;
mod next_step;
mod own_lessons;
mod part_thumbnail;
mod refresher_card;
mod shift_card;
mod skill_row;
mod stored;
mod test_card;

pub(crate) use course::{Course, Next, course};
pub(crate) use days::{day_text, fresh_seed, today};
pub(crate) use own_lessons::{add as add_lesson, read_stored};
pub(crate) use part_thumbnail::PartThumbnail;
pub(crate) use skill_row::SkillRow;
pub(crate) use stored::unreadable_records;

use super::course_system;
use super::i18n::{Key, format, text};
use super::kept_parts;
use super::logic::play_text::play_text;
use super::screen;
use super::workspace::workspace;
use from_disk::LessonsFromDisk;
use idea_show::IdeaShow;
use leptos::prelude::*;
use lesson_card::LessonCard;
use next_step::{NextStep, refresher_is_due};
use nudgeproof::cell::{Part, parts};
use nudgeproof::lesson::{TestTime, lesson_files};
use nudgeproof::session::{Header, Session};
use refresher_card::RefresherCard;
use shift_card::ShiftCard;
use test_card::TestCard;

/// Seed of free work: the lesson seeds are others.
const FREE_SEED: u64 = 1;

/// The idea and where to begin, the course, parts to work on freely, and what instructors need.
#[component]
pub(crate) fn Lessons() -> impl IntoView {
    // The first screen is painted before what stands below it: it answers meanwhile.
    let painted = screen::painted();
    view! {
        <div class="page lessons" data-testid="lessons">
            <FirstScreen />
            <Show when=move || painted.get()>
                <CourseCards />
                <PartCards />
                <LessonsFromDisk />
            </Show>
        </div>
    }
}

/// The lessons of the course in their order, with the tests, the refresher and the shift.
#[component]
fn CourseCards() -> impl IntoView {
    let course = course();
    let cards = lesson_files().enumerate().map(|(number, lesson)| {
        view! { <LessonCard lesson=lesson.clone() number /> }
    });
    let due = Memo::new(move |_| refresher_is_due(&course.records.read()));
    let longest = lesson_files().map(|l| l.minutes).max().unwrap_or_default();
    let lead = format(Key::CourseLead, &[&lesson_files().len().to_string(), &longest.to_string()]);
    view! {
        <section class="course" aria-labelledby="the-course">
            <div class="section-head">
                <h2 id="the-course">{text(Key::TheCourse)}</h2>
                <p>{lead}</p>
            </div>
            <div class="cards">
                <Show when=move || due.get()>
                    <RefresherCard />
                </Show>
                <TestCard time=TestTime::Before />
                {cards.collect_view()}
                <TestCard time=TestTime::After />
                <ShiftCard />
                <Show when=move || !due.get()>
                    <RefresherCard />
                </Show>
            </div>
        </section>
    }
}

/// The parts to work on freely: those of the workshop, and the learner's own.
#[component]
fn PartCards() -> impl IntoView {
    let parts = parts()
        .into_iter()
        .chain(kept_parts::kept().into_iter().map(|kept| kept.part))
        .map(|part| view! { <PartCard part /> });
    view! {
        <section aria-labelledby="free-work">
            <div class="section-head">
                <h2 id="free-work">{text(Key::FreeWork)}</h2>
                <p>{text(Key::FreeWorkLead)}</p>
            </div>
            <div class="cards">{parts.collect_view()}</div>
        </section>
    }
}

/// For who has done nothing yet the idea in ten seconds; for everybody what to do next.
#[component]
fn FirstScreen() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let fresh = course.records.read_untracked().is_empty()
        && workspace.with_session(|s| s.actions().is_empty());
    let shown = RwSignal::new(fresh);
    let title = text(if fresh { Key::IdeaTitle } else { Key::PlaceLessons });
    let promise = if course_system::is_here() { Key::CourseIsTold } else { Key::NoAccount };
    view! {
        <section class="first-screen" class:begun=!fresh>
            <h1>{title}</h1>
            <Show when=move || shown.get()>
                <IdeaShow by_itself=fresh />
            </Show>
            <div class="next-row">
                <NextStep />
                {fresh.then(|| view! { <p class="promise">{text(promise)}</p> })}
                <Show when=move || !shown.get()>
                    <button
                        type="button"
                        class="quiet"
                        data-testid="show-idea"
                        on:click=move |_| shown.set(true)
                    >
                        {text(Key::IdeaShow)}
                    </button>
                </Show>
            </div>
        </section>
    }
}

/// A part to work on freely.
#[component]
fn PartCard(part: Part) -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let (title, name) = (part.title.clone(), part.name.clone());
    let play = play_text(&part.play);
    let (drawn, about_id) = (part.clone(), format!("about-part-{name}"));
    let begin = move |_| match Session::new(Header::new(part.clone(), FREE_SEED)) {
        Ok(session) => course.open(session),
        Err(why) => workspace.warn(why.to_string()),
    };
    view! {
        <article class="card" data-testid=format!("card-part-{name}")>
            <PartThumbnail part=drawn />
            <h3>
                <button
                    type="button"
                    class="card-target"
                    aria-describedby=about_id.clone()
                    data-testid=format!("free-{name}")
                    on:click=begin
                >
                    {title}
                </button>
            </h3>
            <p class="card-about" id=about_id>
                {format(Key::PartPlay, &[&play])}
            </p>
        </article>
    }
}
