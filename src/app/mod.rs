//! The page: one sheet, the routine beside it, and what speaks to the learner.

mod bar;
mod bench;
mod chart;
mod coaching;
mod desk;
mod field;
mod guide;
mod help;
mod lessons;
mod live;
mod logic;
mod place;
mod presenter;
mod print;
mod record;
mod routine;
mod run;
mod screen;
mod share;
mod sheet;
mod show;
mod store;
mod warm;
mod words;

use desk::Desk;
use leptos::prelude::*;
use nudgeproof::session::{Header, Session};
use place::Place;
use words::{Word, say, tell};

/// Seed of a session that nobody chose one for.
const SEED: u64 = 20_261_125;

/// The whole page.
#[component]
pub(crate) fn App() -> impl IntoView {
    if store::setting("language").as_deref() == Some("long") {
        words::speak(words::Language::Long);
    }
    let (session, known, notice) = opening();
    let returning = known.is_some();
    let desk = Desk::new(session, known);
    if let Some(notice) = notice {
        desk.tell_grave(notice);
    }
    provide_context(desk);
    provide_context(lessons::Course::new(desk));
    lessons::read_kept(desk);
    provide_context(run::Caution::new());
    run::play_frames(desk);
    bar::shortcuts(desk);
    warm::warm_up(desk.with_session(|s| s.header().clone()));
    let inches = bar::Inches::stored();
    provide_context(inches);
    let place = place::here(returning);
    share::open_links(desk, place);
    view! {
        <bar::Bar place=place/>
        <main data-testid="main">
            {move || {
                inches.0.track();
                match place.get() {
                Place::Lessons => view! { <lessons::LessonsPlace/> }.into_any(),
                Place::Record => view! { <record::RecordPlace/> }.into_any(),
                Place::CellSheet => view! { <print::CellSheet/> }.into_any(),
                Place::Bench => view! { <Bench/> }.into_any(),
            }}}
            <p class="notice" role="status" aria-live="polite" data-testid="notice"
                class:grave=move || desk.notice.read().grave>
                {move || desk.notice.read().text.clone()}
            </p>
        </main>
        <run::CautionDialog/>
    }
}

/// Sheet, routine and guide. On a phone routine and guide take turns.
#[component]
fn Bench() -> impl IntoView {
    // A lesson that has just begun speaks first.
    let desk = desk::desk();
    let guide = lessons::course().guide;
    Effect::new(move |_| {
        let attempt = desk.attempt.get();
        let done = desk.with_session(|s| s.actions().len());
        let begins = attempt.is_some_and(|l| l.begun() == done);
        guide.set(begins);
        if begins {
            screen::show_soon("#guide");
        }
    });
    let tab = move |which: bool, word: Word, test_id: &'static str| {
        view! {
            <button type="button" data-testid=test_id aria-pressed=move || (guide.get() == which).to_string()
                on:click=move |_| {
                    guide.set(which);
                    screen::show_soon(if which { "#guide" } else { ".routine" });
                }>{say(word)}</button>
        }
    };
    view! {
        <div class="bench" data-testid="bench" data-shows=move || if guide.get() { "guide" } else { "routine" }>
            <h1 class="visually-hidden">{say(Word::PlaceBench)}</h1>
            <div class="sheet-side">
                <sheet::Sheet/>
                <run::RunPanel/>
                <div class="drawers">
                    <bench::BenchPanel/>
                    <presenter::PresenterPanel/>
                    <CellSheetLink/>
                </div>
            </div>
            <div class="switch" role="group" aria-label=say(Word::Sections)>
                {tab(false, Word::Routine, "show-routine")}
                {tab(true, Word::Guide, "show-guide")}
            </div>
            <routine::RoutinePanel/>
            <guide::Guide/>
        </div>
    }
}

/// The way to the sheet for the cell.
#[component]
pub(crate) fn CellSheetLink() -> impl IntoView {
    view! { <a class="button" href=Place::CellSheet.hash() data-testid="go-cell-sheet">{say(Word::CellSheet)}</a> }
}

/// The session to open with: the saved one, or an empty one on the first part. What is stored and
/// cannot be read is put aside, and said.
fn opening() -> (Session, Option<String>, Option<String>) {
    let Some(text) = store::saved() else { return (fresh(), None, None) };
    match Session::from_json(&text) {
        Ok(session) => (session, Some(text), None),
        Err(why) => {
            // Without room to put it aside it stays where it is, and is not saved over.
            let known = store::put_aside(&text).then_some(text);
            (fresh(), known, Some(tell(Word::SavedUnreadable, &[&why.to_string()])))
        }
    }
}

/// An empty session on the first part.
fn fresh() -> Session {
    let part = nudgeproof::cell::parts().into_iter().next().expect("the program brings parts");
    Session::new(Header::new(part, SEED)).expect("the program's own parts can be set up")
}
