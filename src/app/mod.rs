//! The page: the sheet, the routine beside it, and the guide.

mod bar;
mod bench;
mod bench_place;
mod chart;
mod coaching;
mod controls;
mod course_system;
mod guide;
mod help;
mod house_rules;
mod i18n;
mod kept_parts;
mod keys;
mod lessons;
mod logic;
mod panels;
mod place;
mod playback_state;
mod presenter;
mod print;
mod readings;
mod record;
mod rehearse;
mod routine;
mod run;
mod screen;
mod settings;
mod share;
mod sheet;
mod shift;
mod storage;
mod told_session;
mod warmup;
pub(crate) mod worker;
mod workspace;

use bar::Bar;
use bench_place::BenchPlace;
use help::{HelpDialog, HelpSheet};
use i18n::{Key, format, text};
use leptos::prelude::*;
use lessons::Lessons;
use nudgeproof::cell::first_part;
use nudgeproof::session::{Header, Journal, Session};
use panels::Panels;
use place::Place;
use presenter::{ClassLink, ClassRules, ClassWindow, Guesses, RevealScene, is_class_window};
use print::{AnswerSheet, CellSheet};
use record::RecordPlace;
use rehearse::{Rehearsal, RehearsePlace};
use run::CautionDialog;
use share::ReplaceQuestion;
use shift::ShiftPlace;
use workspace::{Workspace, workspace};

/// Seed of the first session of a new learner.
const SEED: u64 = 20_261_125;

/// The whole page, or the instructor's window.
#[component]
pub(crate) fn App() -> impl IntoView {
    let settings = settings::Settings::load();
    provide_context(settings);
    let for_class = is_class_window(&screen::hash());
    // Each is a page of its own: a window of the instructor's touches no work.
    screen::on_hash_change(move || {
        if is_class_window(&screen::hash()) != for_class {
            screen::reload();
        }
    });
    if for_class {
        tell_started(|| true);
        return view! { <ClassWindow /> }.into_any();
    }
    view! { <Page settings /> }.into_any()
}

#[component]
fn Page(settings: settings::Settings) -> impl IntoView {
    provide_context(keys::Shortcuts::listen(settings));
    let Opening { session, journal, returning, notice } = opening();
    let workspace = Workspace::new(session, journal);
    if let Some(notice) = notice {
        workspace.warn(notice);
    }
    workspace.follow_storage();
    workspace.unsaved.set(storage::place() == storage::Place::None);
    provide_context(workspace);
    let course = lessons::Course::new(workspace);
    provide_context(course);
    let guesses = Guesses::new(workspace, course);
    provide_context(guesses);
    let scene = RevealScene::new(workspace);
    provide_context(scene);
    let rules = ClassRules::new(workspace, settings);
    provide_context(rules);
    let place = place::current_place(returning);
    Effect::watch(move || place.get(), move |_, _, _| workspace.forget_notice(), false);
    let links = share::LinkOpener::listen(workspace, place, rules);
    provide_context(links);
    provide_context(ClassLink::new(workspace, guesses, scene, links));
    provide_context(Panels::default());
    provide_context(HelpSheet::default());
    lessons::read_stored(workspace);
    course_system::join(workspace, course, links, rules);
    provide_context(Rehearsal::new());
    provide_context(run::Caution::new(settings));
    Effect::new(move || {
        if settings.not_stored() {
            workspace.warn(text(Key::NotStored).into());
        }
    });
    run::play_frames(workspace);
    warmup::warm_up(workspace.with_session(|s| s.header().clone()), settings);
    tell_started(move || !workspace.review.busy());
    view! {
        <Bar place />
        <main data-testid="main" tabindex="-1">
            {move || {
                // Lengths are texts once they are drawn: another unit draws the place anew.
                settings.inches();
                match place.get() {
                    Place::Lessons => view! { <Lessons /> }.into_any(),
                    Place::Record => view! { <RecordPlace /> }.into_any(),
                    Place::Rehearse => view! { <RehearsePlace links /> }.into_any(),
                    Place::CellSheet => view! { <CellSheet /> }.into_any(),
                    Place::AnswerSheet => view! { <AnswerSheet /> }.into_any(),
                    Place::Shift => view! { <ShiftPlace /> }.into_any(),
                    Place::Bench => view! { <BenchPlace /> }.into_any(),
                }
            }}
            <NoticeLine />
        </main>
        <CautionDialog />
        <HelpDialog />
        <ReplaceQuestion links />
    }
}

/// Tells `src/app/boot.js` that the page answers: it is mounted, and the coach is not at work.
fn tell_started(idle: impl Fn() -> bool + 'static) {
    Effect::new(move || {
        if idle()
            && let Ok(event) = web_sys::CustomEvent::new("nudgeproof-started")
        {
            // If this fails, the next start asks once more; nothing else depends on it.
            let _ = window().dispatch_event(&event);
        }
    });
}

/// The last message to the learner; screen readers read it out.
#[component]
fn NoticeLine() -> impl IntoView {
    let notice = workspace().notice;
    view! {
        <p
            class="notice"
            role="status"
            aria-live="polite"
            data-testid="notice"
            class:grave=move || notice.read().grave
        >
            {move || notice.read().text.clone()}
        </p>
    }
}

/// What the page opens with.
struct Opening {
    session: Session,
    /// What is stored of it.
    journal: Journal,
    /// Whether there was work.
    returning: bool,
    notice: Option<String>,
}

/// Number of records above which the first change writes the whole session anew in their place.
const RECORDS: usize = 1000;

/// Opens the stored session, or an empty one on the first part. What is stored and cannot be read is put
/// aside, and said.
fn opening() -> Opening {
    let Some((restored, records)) = storage::session() else {
        return Opening {
            session: fresh(),
            journal: Journal::default(),
            returning: false,
            notice: None,
        };
    };
    let Some(session) = restored.session else {
        let (why, rest) = restored.left_out.unwrap_or_default();
        storage::clear(&rest);
        let notice = Some(format(Key::SavedUnreadable, &[&why]));
        return Opening { session: fresh(), journal: Journal::default(), returning: true, notice };
    };
    let Some((why, rest)) = restored.left_out else {
        let journal = if records > RECORDS { Journal::default() } else { Journal::of(&session) };
        return Opening { session, journal, returning: true, notice: None };
    };
    let mut journal = Journal::default();
    if let Some(good) = journal.record(&session) {
        storage::append(&good, Some(&rest));
    }
    let done = session.actions().len().to_string();
    let notice = Some(format(Key::SavedPartly, &[&done, &why]));
    Opening { session, journal, returning: true, notice }
}

/// An empty session on the first part.
fn fresh() -> Session {
    let part = first_part();
    Session::new(Header::new(part, SEED)).expect("the program's own parts can be set up")
}
