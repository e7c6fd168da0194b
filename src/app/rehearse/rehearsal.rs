use super::filled::Filled;
use super::{kept, words};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::fresh_seed;
use leptos::prelude::*;
use nudgeproof::cell::{Dimension, Draft, DraftError, OutlineDraft, Part, Template};
use nudgeproof::lesson::rehearsed;
use nudgeproof::routine::Routine;
use nudgeproof::session::{Action, Header, Session};
use std::sync::Arc;

/// What is filled in or read, as long as the page lives.
#[derive(Clone, Copy)]
pub(crate) struct Rehearsal {
    pub(super) draft: RwSignal<Draft>,
    /// The outline of a drawing, in the place of the draft's plate.
    outline: RwSignal<Option<OutlineDraft>>,
    /// A part that was read or kept: it stands in the place of the draft.
    pub(super) read: RwSignal<Option<Arc<Part>>>,
    /// Read when the place is opened: a first visit needs none of them.
    pub(super) kept: RwSignal<Vec<Part>>,
    /// The dimension whose field one is in.
    pub(super) at_hand: RwSignal<Option<Dimension>>,
    /// A layout of touches that was taken: the part it is for, and the part with it.
    taken: RwSignal<Option<[Arc<Part>; 2]>>,
    /// What is filled in.
    filled: Memo<Filled>,
    /// The newest of which a part could be made, and that part.
    made: Memo<Option<(Filled, Arc<Part>)>>,
}

impl Rehearsal {
    pub(crate) fn new() -> Self {
        let draft = RwSignal::new(Draft::new(Template::default(), text(Key::OwnTitleFirst)));
        let outline = RwSignal::new(None);
        let filled = Memo::new(move |_| Filled::new(draft.get(), outline.get()));
        let made = Memo::new(move |before: Option<&Option<(Filled, Arc<Part>)>>| {
            let filled = filled.get();
            let part = filled.part().ok().map(|part| (filled, Arc::new(part)));
            part.or_else(|| before.cloned().flatten())
        });
        let (read, kept) = (RwSignal::new(None), RwSignal::new(Vec::new()));
        let (at_hand, taken) = (RwSignal::new(None), RwSignal::new(None));
        Self { draft, outline, read, kept, at_hand, taken, filled, made }
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
        let (draft, part) = match self.read.get() {
            Some(part) => (None, part),
            None => self.made.get().map(|(filled, part)| (Some(filled.draft), part))?,
        };
        Some((draft, self.with_layout(part)))
    }

    /// The part with the layout that was taken for it, if one was.
    fn with_layout(self, part: Arc<Part>) -> Arc<Part> {
        self.taken.with(|taken| match taken {
            Some([of, with]) if nameless(of) == nameless(&part) => {
                let (name, title) = (part.name.clone(), part.title.clone());
                Arc::new(Part { name, title, ..Part::clone(with) })
            }
            _ => part,
        })
    }

    /// The part with the layout it was drawn with.
    pub(super) fn as_drawn(self) -> Option<Arc<Part>> {
        let filled_in = move || {
            let (filled, part) = self.made.get()?;
            self.filled.with(|now| *now == filled).then_some(part)
        };
        self.read.get().or_else(filled_in)
    }

    /// Fills in a template.
    pub(super) fn fill_in(self, draft: Draft) {
        self.outline.set(None);
        self.draft.set(draft);
    }

    /// Puts the outline of a drawing in the place of a plate.
    pub(super) fn take_outline(self, outline: OutlineDraft) {
        self.read.set(None);
        self.draft.set(outline.draft.clone());
        self.outline.set(Some(outline));
    }

    pub(super) fn has_outline(self) -> bool {
        self.outline.read().is_some()
    }

    /// The dimensions to fill in, in order.
    pub(super) fn dimensions(self) -> Vec<Dimension> {
        untrack(|| self.filled.with(Filled::dimensions))
    }

    /// Takes another layout of touches for the part; its own again, where it is that.
    pub(super) fn take_layout(self, with: Part) {
        let of = untrack(|| self.as_drawn()).filter(|of| nameless(of) != nameless(&with));
        self.taken.set(of.map(|of| [of, Arc::new(with)]));
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
        let Filled { draft, .. } = &*self.filled.read();
        match draft.errors().into_iter().next() {
            Some(DraftError::Dimension { dimension, low, high, .. }) => {
                let unit = words::quantity(dimension).unit();
                let [low, high] = [low, high].map(|v| words::show(dimension, v));
                let [section, name] = words::named(draft.template, dimension);
                Some(format(Key::OwnFirstWrong, &[section, name, &low, &high, &unit]))
            }
            _ => self.filled.with(Filled::part).err().map(|why| words::why_no_part(&why)),
        }
    }

    /// The part to rehearse: what was read, or what is filled in, if all of that is right; with the layout
    /// that was taken for it.
    pub(super) fn part(self) -> Option<Arc<Part>> {
        Some(self.with_layout(self.as_drawn()?))
    }

    /// Puts a part in the place of the draft; what to say of it.
    pub(super) fn open(self, part: Part) -> String {
        let says = format(Key::OwnOpened, &[&part.title]);
        self.read.set(Some(Arc::new(part)));
        says
    }

    /// A session on it: empty, or with the steps of the layout that was taken.
    pub(super) fn session(self) -> Option<Session> {
        let part = self.part()?;
        let taken = self.as_drawn().is_some_and(|drawn| drawn != part);
        let mut session = Session::new(Header::new(Part::clone(&part), fresh_seed())).ok()?;
        if taken {
            let routine = Routine::clone(&rehearsed(&part, 0).ok()?.state().routine);
            session.act(Action::LoadRoutine { routine }).ok()?;
        }
        Some(session)
    }
}

/// A part without its names: what is found out about it holds when it is renamed.
pub(super) fn nameless(part: &Part) -> Part {
    Part { name: String::new(), title: String::new(), ..part.clone() }
}
