//! The page: one sheet, the routine beside it, and what speaks to the learner.

mod bar;
mod bench;
mod chart;
mod coaching;
mod desk;
mod dom;
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
use dom::{View, button, el, several};
use leptos::prelude::*;
use live::effect;
use nudgeproof::session::{Header, Session};
use place::Place;
use words::{Word, tell};

/// Seed of a session that nobody chose one for.
const SEED: u64 = 20_261_125;

/// Shows the whole page.
pub(crate) fn show(root: &web_sys::Element) {
    untrack(app).show_in(root);
}

fn app() -> View {
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
    several()
        .child(bar::bar(place))
        .child(
            el("main")
                .test_id("main")
                .child(move || {
                    inches.0.track();
                    let place = place.get();
                    untrack(|| match place {
                        Place::Lessons => lessons::lessons_place(),
                        Place::Record => record::record_place(),
                        Place::CellSheet => print::cell_sheet(),
                        Place::Bench => bench(),
                    })
                })
                .child(
                    el("p")
                        .class("notice")
                        .attr("role", "status")
                        .attr("aria-live", "polite")
                        .test_id("notice")
                        .class_if("grave", move || desk.notice.read().grave)
                        .text(move || desk.notice.read().text.clone()),
                ),
        )
        .child(run::caution_dialog())
}

/// Sheet, routine and guide. On a phone routine and guide take turns.
fn bench() -> View {
    // A lesson that has just begun speaks first.
    let desk = desk::desk();
    let guide = lessons::course().guide;
    effect(move || {
        let attempt = desk.attempt.get();
        let done = desk.with_session(|s| s.actions().len());
        let begins = attempt.is_some_and(|l| l.begun() == done);
        guide.set(begins);
        if begins {
            screen::show_soon("#guide");
        }
    });
    let tab = move |which: bool, word: Word, test_id: &'static str| {
        button(test_id)
            .attr("aria-pressed", move || (guide.get() == which).to_string())
            .click(move || {
                guide.set(which);
                screen::show_soon(if which { "#guide" } else { ".routine" });
            })
            .text(word)
    };
    el("div")
        .class("bench")
        .test_id("bench")
        .attr("data-shows", move || if guide.get() { "guide" } else { "routine" })
        .child(el("h1").class("visually-hidden").text(Word::PlaceBench))
        .child(
            el("div").class("sheet-side").child(sheet::sheet()).child(run::run_panel()).child(
                el("div")
                    .class("drawers")
                    .child(bench::bench_panel())
                    .child(presenter::presenter_panel())
                    .child(cell_sheet_link()),
            ),
        )
        .child(
            el("div")
                .class("switch")
                .group(Word::Sections)
                .child(tab(false, Word::Routine, "show-routine"))
                .child(tab(true, Word::Guide, "show-guide")),
        )
        .child(routine::routine_panel())
        .child(guide::guide())
}

/// The way to the sheet for the cell.
pub(crate) fn cell_sheet_link() -> View {
    el("a")
        .class("button")
        .attr("href", Place::CellSheet.hash())
        .test_id("go-cell-sheet")
        .text(Word::CellSheet)
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
