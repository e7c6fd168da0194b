//! The page: one sheet, the routine beside it, and what speaks to the learner.

mod bar;
mod bench;
mod chart;
mod coaching;
mod controls;
mod dom;
mod guide;
mod help;
mod i18n;
mod keys;
mod lessons;
mod logic;
mod panels;
mod place;
mod playback_state;
mod presenter;
mod print;
mod record;
mod routine;
mod run;
mod screen;
mod settings;
mod share;
mod sheet;
mod storage;
mod warmup;
mod workspace;

use dom::{View, button, el, leptos_view, several};
use i18n::{Key, format};
use leptos::prelude::*;
use nudgeproof::session::{Header, Session};
use panels::{Panel, Panels, panels};
use place::Place;
use workspace::Workspace;

/// Seed of a session that nobody chose one for.
const SEED: u64 = 20_261_125;

/// Shows the whole page.
pub(crate) fn show(root: &web_sys::Element) {
    untrack(app).show_in(root);
}

fn app() -> View {
    let settings = settings::Settings::load();
    provide_context(settings);
    provide_context(keys::Shortcuts::listen());
    let (session, known, notice) = opening();
    let returning = known.is_some();
    let workspace = Workspace::new(session, known);
    if let Some(notice) = notice {
        workspace.warn(notice);
    }
    provide_context(workspace);
    provide_context(lessons::Course::new(workspace));
    provide_context(Panels::default());
    lessons::read_stored(workspace);
    provide_context(run::Caution::new());
    run::play_frames(workspace);
    warmup::warm_up(workspace.with_session(|s| s.header().clone()));
    let place = place::current_place(returning);
    share::open_links(workspace, place);
    several()
        .child(leptos_view(view! { <bar::Bar place /> }))
        .child(
            el("main")
                .test_id("main")
                .child(move || {
                    settings.inches();
                    let place = place.get();
                    untrack(|| match place {
                        Place::Lessons => leptos_view(view! { <lessons::Lessons /> }),
                        Place::Record => leptos_view(view! { <record::RecordPlace /> }),
                        Place::CellSheet => leptos_view(view! { <print::CellSheet /> }),
                        Place::Bench => bench(),
                    })
                })
                .child(
                    el("p")
                        .class("notice")
                        .attr("role", "status")
                        .attr("aria-live", "polite")
                        .test_id("notice")
                        .class_if("grave", move || workspace.notice.read().grave)
                        .text(move || workspace.notice.read().text.clone()),
                ),
        )
        .child(leptos_view(view! { <run::CautionDialog /> }))
}

/// Sheet, routine and guide. On a phone routine and guide take turns.
fn bench() -> View {
    // A lesson that has just begun speaks first.
    let workspace = workspace::workspace();
    let panels = panels();
    let guide = panels.guide_in_front;
    Effect::new(move || {
        let attempt = workspace.attempt.get();
        let done = workspace.with_session(|s| s.actions().len());
        let begins = attempt.is_some_and(|l| l.begun() == done);
        if begins {
            panels.show(Panel::Guide);
        } else {
            guide.set(false);
        }
    });
    let tab = move |which: bool, word: Key, test_id: &'static str| {
        button(test_id)
            .attr("aria-pressed", move || (guide.get() == which).to_string())
            .click(move || panels.show(if which { Panel::Guide } else { Panel::Routine }))
            .text(word)
    };
    el("div")
        .class("bench")
        .test_id("bench")
        .attr("data-shows", move || if guide.get() { "guide" } else { "routine" })
        .child(el("h1").class("visually-hidden").text(Key::PlaceBench))
        .child(
            el("div")
                .class("sheet-side")
                .child(leptos_view(view! { <sheet::Sheet /> }))
                .child(leptos_view(view! { <run::RunPanel /> }))
                .child(
                    el("div")
                        .class("drawers")
                        .child(leptos_view(view! { <bench::BenchDrawer /> }))
                        .child(leptos_view(view! { <presenter::PresenterPanel /> }))
                        .child(leptos_view(view! { <place::CellSheetLink /> })),
                ),
        )
        .child(
            el("div")
                .class("switch")
                .group(Key::Sections)
                .child(tab(false, Key::Routine, "show-routine"))
                .child(tab(true, Key::Guide, "show-guide")),
        )
        .child(leptos_view(view! { <routine::RoutinePanel /> }))
        .child(leptos_view(view! { <guide::Guide /> }))
}

/// The session to open with: the saved one, or an empty one on the first part. What is stored and
/// cannot be read is put aside, and said.
fn opening() -> (Session, Option<String>, Option<String>) {
    let Some(text) = storage::saved() else { return (fresh(), None, None) };
    match Session::from_json(&text) {
        Ok(session) => (session, Some(text), None),
        Err(why) => {
            // Without room to put it aside it stays where it is, and is not saved over.
            let known = storage::put_aside(&text).then_some(text);
            (fresh(), known, Some(format(Key::SavedUnreadable, &[&why.to_string()])))
        }
    }
}

/// An empty session on the first part.
fn fresh() -> Session {
    let part = nudgeproof::cell::parts().into_iter().next().expect("the program brings parts");
    Session::new(Header::new(part, SEED)).expect("the program's own parts can be set up")
}
