use super::{kept, words};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::fresh_seed;
use leptos::prelude::*;
use nudgeproof::cell::{Dimension, Draft, DraftError, Part, Template};
use nudgeproof::session::{Header, Session};
use std::sync::Arc;

/// What is filled in or read, as long as the page lives.
#[derive(Clone, Copy)]
pub(crate) struct Rehearsal {
    pub(super) draft: RwSignal<Draft>,
    /// A part that was read or kept: it stands in the place of the draft.
    pub(super) read: RwSignal<Option<Arc<Part>>>,
    /// Read when the place is opened: a first visit needs none of them.
    pub(super) kept: RwSignal<Vec<Part>>,
    /// The dimension whose field one is in.
    pub(super) at_hand: RwSignal<Option<Dimension>>,
    /// The newest draft of which a part could be made, and that part.
    made: Memo<Option<(Draft, Arc<Part>)>>,
}

impl Rehearsal {
    pub(crate) fn new() -> Self {
        let draft = RwSignal::new(Draft::new(Template::default(), text(Key::OwnTitleFirst)));
        let made = Memo::new(move |before: Option<&Option<(Draft, Arc<Part>)>>| {
            let draft = draft.get();
            let part = draft.part().ok().map(|part| (draft, Arc::new(part)));
            part.or_else(|| before.cloned().flatten())
        });
        let (read, kept) = (RwSignal::new(None), RwSignal::new(Vec::new()));
        Self { draft, read, kept, at_hand: RwSignal::new(None), made }
    }

    pub(super) fn here() -> Self {
        expect_context()
    }

    /// Reads the parts that are kept.
    pub(super) fn read_kept(self) {
        self.kept.set(kept::kept());
    }

    /// What is drawn: the part, and its draft where it was filled in.
    pub(super) fn drawn(self) -> Option<(Option<Draft>, Arc<Part>)> {
        match self.read.get() {
            Some(part) => Some((None, part)),
            None => self.made.get().map(|(draft, part)| (Some(draft), part)),
        }
    }

    /// Whether there is no part to rehearse: something filled in has to be put right.
    pub(super) fn is_wrong(self) -> bool {
        self.part().is_none()
    }

    /// What has to be put right first, in a sentence; nothing where all is right.
    pub(super) fn wrong(self) -> Option<String> {
        if !self.is_wrong() {
            return None;
        }
        self.draft.with(|draft| {
            let Some(DraftError::Dimension { dimension, low, high, .. }) =
                draft.errors().into_iter().next()
            else {
                return Some(text(Key::OwnTitleMissing).to_owned());
            };
            let unit = words::quantity(dimension).unit();
            let [low, high] = [low, high].map(|v| words::show(dimension, v));
            let section = text(words::section(draft.template, dimension.section()));
            let name = text(words::dimension(draft.template, dimension));
            Some(format(Key::OwnFirstWrong, &[section, name, &low, &high, &unit]))
        })
    }

    /// The part to rehearse: what was read, or what is filled in, if all of that is right.
    pub(super) fn part(self) -> Option<Arc<Part>> {
        let filled_in = move || {
            let (draft, part) = self.made.get()?;
            self.draft.with(|now| *now == draft).then_some(part)
        };
        self.read.get().or_else(filled_in)
    }

    /// Puts a part in the place of the draft; what to say of it.
    pub(super) fn open(self, part: Part) -> String {
        let says = format(Key::OwnOpened, &[&part.title]);
        self.read.set(Some(Arc::new(part)));
        says
    }

    /// An empty session on it.
    pub(super) fn session(self) -> Option<Session> {
        Session::new(Header::new(Part::clone(&*self.part()?), fresh_seed())).ok()
    }
}
