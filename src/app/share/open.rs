//! Opens what a link carries, and asks first where it would replace work.

use super::link::{self, LinkKind};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::class_setup::ClassSetup;
use crate::app::place::Place;
use crate::app::presenter::ClassRules;
use crate::app::screen;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::session::Session;

/// What a link or a file of a class puts on the page.
#[derive(Debug, Clone)]
pub(crate) struct Carried {
    pub(super) session: Session,
    pub(super) from: Origin,
}

/// Where it comes from.
#[derive(Debug, Clone)]
pub(super) enum Origin {
    /// A link that carries a session.
    Link,
    /// The set-up of a class: what the page then shows and allows.
    Setup(ClassSetup),
    /// A part of the learner's own.
    OwnPart,
}

impl Carried {
    fn read(kind: LinkKind, file: &str) -> Result<Self, String> {
        match kind {
            LinkKind::Session => {
                let session = Session::from_json(file);
                let session =
                    session.map_err(|e| format(Key::LinkBadSession, &[&e.to_string()]))?;
                Ok(Self { session, from: Origin::Link })
            }
            LinkKind::Class => {
                let setup = ClassSetup::read("", file);
                Self::of(setup.map_err(|e| format(Key::LinkBadSetup, &[&e]))?)
            }
        }
    }

    fn of(setup: ClassSetup) -> Result<Self, String> {
        Ok(Self { session: setup.session()?, from: Origin::Setup(setup) })
    }

    /// Whether it is a part of the learner's own.
    pub(super) fn is_own_part(&self) -> bool {
        matches!(self.from, Origin::OwnPart)
    }

    /// Whether it is the set-up of a class.
    pub(super) fn is_setup(&self) -> bool {
        matches!(self.from, Origin::Setup(_))
    }
}

/// Opens the session that the address carries, now and whenever the address changes. Where there is
/// work it asks first; work that is replaced is put aside. A link that cannot be opened leaves it
/// alone.
#[derive(Clone, Copy)]
pub(crate) struct LinkOpener {
    workspace: Workspace,
    place: RwSignal<Place>,
    rules: ClassRules,
    /// What would replace work, until the learner has answered.
    pub(super) waiting: RwSignal<Option<Carried>>,
}

impl LinkOpener {
    pub(crate) fn listen(workspace: Workspace, place: RwSignal<Place>, rules: ClassRules) -> Self {
        let links = Self { workspace, place, rules, waiting: RwSignal::new(None) };
        links.read_address();
        screen::on_hash_change(move || links.read_address());
        links
    }

    fn read_address(self) {
        let hash = screen::hash();
        let Some(kind) = LinkKind::of(&hash) else { return };
        // Loading the page again must not open the link again.
        screen::replace_hash(self.place.get_untracked().hash());
        spawn_local(async move {
            let read = link::read(kind, &hash).await;
            match read.and_then(|file| Carried::read(kind, &file)) {
                Ok(carried) => self.offer(carried),
                Err(why) => {
                    self.go_to_bench();
                    self.workspace.warn(format(Key::LinkNotOpened, &[&why]));
                }
            }
        });
    }

    /// Opens the set-up of a class.
    ///
    /// # Errors
    /// One sentence why it cannot be opened.
    pub(crate) fn open_setup(self, setup: ClassSetup) -> Result<(), String> {
        self.offer(Carried::of(setup)?);
        Ok(())
    }

    /// Takes an empty session on a part of the learner's own to the bench.
    pub(crate) fn rehearse(self, session: Session) {
        self.offer(Carried { session, from: Origin::OwnPart });
    }

    /// Opens it, or asks first where it would replace work.
    fn offer(self, carried: Carried) {
        if self.workspace.has_work() {
            self.waiting.set(Some(carried));
        } else {
            self.open(carried);
        }
    }

    fn go_to_bench(self) {
        screen::replace_hash(Place::Bench.hash());
        if self.place.get_untracked() != Place::Bench {
            self.place.set(Place::Bench);
        }
    }

    fn open(self, carried: Carried) {
        self.go_to_bench();
        let had_work = self.workspace.has_work();
        let (kept, opened) = match carried.from {
            Origin::Setup(setup) => {
                let kept = self.workspace.begin(carried.session);
                self.rules.apply(&setup);
                (kept, Key::SetupOpened)
            }
            Origin::OwnPart => {
                let state = carried.session.state();
                let opened = if !state.runs.is_empty() {
                    Key::StudyPartOpened
                } else if state.routine.steps.is_empty() {
                    Key::RehearsalBegun
                } else {
                    Key::LayoutBegun
                };
                (self.workspace.begin(carried.session), opened)
            }
            Origin::Link => (self.workspace.replace(carried.session), Key::LinkOpened),
        };
        if kept {
            let aside = had_work.then_some(Key::WorkAsideUndo);
            let says: Vec<_> = [opened].into_iter().chain(aside).map(text).collect();
            self.workspace.notify(says.join(" "));
        }
    }

    /// The answer: the link may replace the work.
    pub(super) fn open_waiting(self) {
        if let Some(carried) = self.waiting.try_update(Option::take).flatten() {
            self.open(carried);
        }
    }

    /// The answer: nothing changes.
    pub(super) fn keep_work(self) {
        if let Some(carried) = self.waiting.try_update(Option::take).flatten() {
            let kept = if carried.is_own_part() { Key::RehearsalKept } else { Key::LinkKept };
            self.workspace.notify(text(kept).into());
        }
    }
}
