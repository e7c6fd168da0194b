//! The side of the page that the class sees: it does what the instructor's window asks.

use super::channel::Channel;
use super::commands;
use super::guesses::Guesses;
use super::message::{Command, Message, Says, Status};
use super::reveal::RevealScene;
use super::secrets::Secrets;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::shown::{Verdict, came_out, verdict};
use crate::app::screen;
use crate::app::share::LinkOpener;
use crate::app::workspace::Workspace;
use gloo::storage::{SessionStorage, Storage};
use leptos::prelude::*;
use nudgeproof::cell::fault_kind;

/// Where the id of the page of a class stands: it lasts as long as its tab.
const CLASS: &str = "nudgeproof.class";

/// This page as the one that a class sees. It has an id once its instructor has opened a window, and obeys
/// the windows that name this id.
#[derive(Clone, Copy)]
pub(crate) struct ClassLink {
    workspace: Workspace,
    guesses: Guesses,
    scene: RevealScene,
    links: LinkOpener,
    id: RwSignal<Option<String>>,
    /// Tells this page from another one that takes itself for the same.
    window: StoredValue<String>,
    channel: StoredValue<Option<Channel>>,
    /// What came of the last command, and how many actions there were then: after the next it is past.
    done: RwSignal<(String, usize)>,
}

/// A number that no other window has.
fn fresh_id() -> String {
    format!("{:x}", (js_sys::Math::random() * 1e15) as u64)
}

impl ClassLink {
    /// A page that no instructor's window leads.
    pub(crate) fn alone(
        workspace: Workspace,
        guesses: Guesses,
        scene: RevealScene,
        links: LinkOpener,
    ) -> Self {
        Self {
            workspace,
            guesses,
            scene,
            links,
            id: RwSignal::new(None),
            window: StoredValue::new(fresh_id()),
            channel: StoredValue::new(None),
            done: RwSignal::default(),
        }
    }

    /// A tab that was the page of a class before it was loaded anew is it again.
    pub(crate) fn new(
        workspace: Workspace,
        guesses: Guesses,
        scene: RevealScene,
        links: LinkOpener,
    ) -> Self {
        let link = Self::alone(workspace, guesses, scene, links);
        if let Ok(id) = SessionStorage::get::<String>(CLASS) {
            link.listen(id);
        }
        let status = Memo::new(move |_| link.id.read().is_some().then(|| link.status()));
        Effect::new(move || {
            if let Some(status) = status.get() {
                link.say(Says::Status(status));
            }
        });
        window_event_listener_untyped("pagehide", move |_| link.say(Says::Gone));
        link
    }

    /// Opens the instructor's window.
    pub(crate) fn open_window(self) {
        let id = self.id.get_untracked().unwrap_or_else(|| {
            let id = fresh_id();
            // Without it the window finds this page only until it is loaded anew.
            let _ = SessionStorage::set(CLASS, &id);
            self.listen(id.clone());
            id
        });
        screen::open_window(&super::window::address(&id));
    }

    fn listen(self, id: String) {
        self.id.set(Some(id));
        self.guesses.led.set(true);
        if self.channel.with_value(Option::is_none) {
            self.channel.set_value(Some(Channel::open(move |message| self.hear(message))));
        }
        self.say(Says::Claim { window: self.window.get_value() });
    }

    fn say(self, says: Says) {
        if let Some((id, channel)) = self.id.get_untracked().zip(self.channel.get_value()) {
            channel.say(id, says);
        }
    }

    fn hear(self, message: Message) {
        if self.id.get_untracked() != Some(message.class) {
            return;
        }
        match message.says {
            Says::Do(command) => {
                let done = self.obey(command);
                self.done.set((done, untrack(|| self.actions())));
                self.say(Says::Status(untrack(|| self.status())));
            }
            // A tab that was doubled has the id of the first.
            Says::Claim { window } => self.say(Says::Taken { window }),
            Says::Taken { window } if window == self.window.get_value() => {
                SessionStorage::delete(CLASS);
                self.id.set(None);
                self.guesses.led.set(false);
            }
            _ => {}
        }
    }

    fn obey(self, command: Command) -> String {
        let workspace = self.workspace;
        match command {
            Command::Status => self.done.get_untracked().0,
            Command::Plant(name) => match fault_kind(&name) {
                Some(kind) => commands::plant(workspace, kind),
                None => text(Key::FaultDoesNotFit).into(),
            },
            Command::MoveInSecret => commands::move_in_secret(workspace),
            Command::TakeBack => commands::take_back(workspace),
            Command::Reveal => self.reveal(),
            Command::ClearFaults => commands::clear_faults(workspace),
            Command::NextPart => commands::next_part(workspace),
            Command::OpenSetup(setup) => match self.links.open_setup(setup) {
                Ok(()) => String::new(),
                Err(why) => why,
            },
            Command::AskWhatIsWrong => self.guess(Guesses::ask),
            Command::CloseQuestion => self.guess(Guesses::close),
            Command::Count(answer) => self.guess(|guesses| guesses.count(answer, true)),
            Command::Uncount(answer) => self.guess(|guesses| guesses.count(answer, false)),
            Command::CountAgain => self.guess(Guesses::begin_again),
            Command::ShowHands => self.guess(Guesses::show),
        }
    }

    /// Shows everything as it truly is, and how the class guessed.
    pub(super) fn reveal(self) -> String {
        let says = commands::reveal(self.workspace, self.scene);
        if untrack(|| self.guesses.class_asked()) {
            self.guesses.answer();
        }
        says
    }

    /// Needs no other answer than how the question stands.
    fn guess(self, act: impl FnOnce(Guesses)) -> String {
        act(self.guesses);
        String::new()
    }

    /// How many actions the session has, with those in secret. Tracked.
    fn actions(self) -> usize {
        self.workspace.track_truth();
        self.workspace.with_truth(|session| session.actions().len())
    }

    /// Tracked.
    fn status(self) -> Status {
        let workspace = self.workspace;
        let (done, then) = self.done.get();
        Status {
            part: workspace.part().title.clone(),
            run: run_in_words(workspace),
            secrets: Secrets::of(workspace).in_words(),
            fits: commands::kinds_that_fit(workspace).iter().map(|k| k.name.to_owned()).collect(),
            question: self.guesses.status(),
            done: if then == self.actions() { done } else { String::new() },
        }
    }
}

/// How the run on show stands, or the last.
fn run_in_words(workspace: Workspace) -> String {
    let on_show = workspace.at_beat();
    let Some(log) = workspace.shown_run() else { return text(Key::NoRunYet).into() };
    let playback = on_show.as_ref().map(|(_, p)| p);
    came_out(&log, playback).unwrap_or_else(|| {
        let paused = verdict(Some(&log), playback) == Verdict::Paused;
        format(if paused { Key::RunIsPaused } else { Key::RunPlays }, &[&log.number.to_string()])
    })
}

/// The page of the class.
pub(super) fn class_link() -> ClassLink {
    expect_context()
}
