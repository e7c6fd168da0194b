//! Opens the session of a link, and asks first where it would replace work.

use super::link;
use crate::app::i18n::{Key, format, text};
use crate::app::place::Place;
use crate::app::screen;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::session::Session;

/// Opens the session that the address carries, now and whenever the address changes. Where there is
/// work it asks first; work that is replaced is put aside. A link that cannot be opened leaves it
/// alone.
#[derive(Clone, Copy)]
pub(crate) struct LinkOpener {
    workspace: Workspace,
    place: RwSignal<Place>,
    /// The session of a link that would replace work, until the learner has answered.
    pub(super) waiting: RwSignal<Option<Session>>,
}

impl LinkOpener {
    pub(crate) fn listen(workspace: Workspace, place: RwSignal<Place>) -> Self {
        let links = Self { workspace, place, waiting: RwSignal::new(None) };
        links.read_address();
        screen::on_hash_change(move || links.read_address());
        links
    }

    fn read_address(self) {
        let hash = screen::hash();
        if !link::is_link(&hash) {
            return;
        }
        // Loading the page again must not open the link again.
        screen::replace_hash(self.place.get_untracked().hash());
        spawn_local(async move {
            match link::read(&hash).await {
                Ok(session) if self.workspace.has_work() => self.waiting.set(Some(session)),
                Ok(session) => self.open(session),
                Err(why) => {
                    self.go_to_bench();
                    self.workspace.warn(format(Key::LinkNotOpened, &[&why]));
                }
            }
        });
    }

    fn go_to_bench(self) {
        screen::replace_hash(Place::Bench.hash());
        if self.place.get_untracked() != Place::Bench {
            self.place.set(Place::Bench);
        }
    }

    fn open(self, session: Session) {
        self.go_to_bench();
        if self.workspace.replace(session) {
            self.workspace.notify(text(Key::LinkOpened).into());
        }
    }

    /// The answer: the link may replace the work.
    pub(super) fn open_waiting(self) {
        if let Some(session) = self.waiting.try_update(Option::take).flatten() {
            self.open(session);
        }
    }

    /// The answer: nothing changes.
    pub(super) fn keep_work(self) {
        if self.waiting.try_update(Option::take).flatten().is_some() {
            self.workspace.notify(text(Key::LinkKept).into());
        }
    }
}
