use super::layout_finder::LayoutFinder;
use super::studying::Studying;
use super::words;
use crate::app::i18n::{Key, format, text};
use crate::app::kept_parts::{self, KeptPart};
use crate::app::lessons::fresh_seed;
use crate::app::logic::filled::Filled;
use crate::app::logic::taken::Taken;
use crate::app::settings::Settings;
use leptos::prelude::*;
use nudgeproof::cell::{Dimension, Draft, DraftError, OutlineDraft, Part, Template};
use nudgeproof::forecast::SeamForecast;
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
    pub(super) kept: RwSignal<Vec<KeptPart>>,
    /// Kept parts that were removed or replaced, the newest last.
    pub(super) gone: RwSignal<Vec<KeptPart>>,
    /// The dimension whose field one is in.
    pub(super) at_hand: RwSignal<Option<Dimension>>,
    /// What was filled in of each other kind of part, and the layout taken for it.
    left: RwSignal<Vec<(Filled, Option<Taken>)>>,
    /// Whether what was at hand before has been read.
    went_on: StoredValue<bool>,
    /// The layout of touches that was taken.
    pub(super) taken: RwSignal<Option<Taken>>,
    /// What is filled in.
    filled: Memo<Filled>,
    /// The newest of which a part could be made, and that part.
    made: Memo<Option<(Filled, Arc<Part>)>>,
    /// The part with the layout it was drawn with.
    as_drawn: Memo<Option<Arc<Part>>>,
    /// The part to rehearse: what was read, or what is filled in, if all of that is right; with the layout that
    /// was taken for it.
    pub(super) part: Memo<Option<Arc<Part>>>,
    /// What the touches of the part are forecast to give.
    pub(super) forecast: Memo<Option<Forecast>>,
    /// Whether a layout was taken, and the part has it.
    pub(super) has_taken: Memo<bool>,
    /// What is found out about it, which lives as long as the part stays the same.
    found_out: StoredValue<(LayoutFinder, Studying)>,
}

/// The routine of a part, and what it is forecast to give.
pub(super) type Forecast = Arc<(Routine, SeamForecast)>;

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
        let (left, went_on) = (RwSignal::new(Vec::new()), StoredValue::new(false));
        let gone = RwSignal::new(Vec::new());
        let (at_hand, taken) = (RwSignal::new(None), RwSignal::new(None));
        let as_drawn = Memo::new(move |_| {
            let filled_in = move || {
                let (of, part) = made.get()?;
                filled.with(|now| *now == of).then_some(part)
            };
            read.get().or_else(filled_in)
        });
        let part = Memo::new(move |_| {
            let part = as_drawn.get()?;
            let with = taken.with(|taken| taken.as_ref().and_then(|taken: &Taken| taken.on(&part)));
            Some(with.unwrap_or(part))
        });
        let has_taken = Memo::new(move |_| {
            let drawn = as_drawn.get();
            let taken = taken.read();
            drawn.zip(taken.as_ref()).is_some_and(|(drawn, taken)| taken.on(&drawn).is_some())
        });
        let forecast = Memo::new(move |_| {
            let session = rehearsed(&*part.get()?, 0).ok()?;
            let routine = Routine::clone(&session.state().routine);
            Some(Arc::new((routine, SeamForecast::of(session.state()))))
        });
        Self {
            draft,
            outline,
            read,
            kept,
            gone,
            at_hand,
            left,
            went_on,
            taken,
            filled,
            made,
            as_drawn,
            part,
            forecast,
            has_taken,
            found_out: StoredValue::new((LayoutFinder::new(), Studying::new())),
        }
    }

    pub(super) fn here() -> Self {
        expect_context()
    }

    /// What finds out about the part: its layouts, and a study of it.
    pub(super) fn found_out(self) -> (LayoutFinder, Studying) {
        self.found_out.get_value()
    }

    /// Reads the parts that are kept.
    pub(super) fn read_kept(self) {
        self.kept.set(kept_parts::kept());
    }

    /// Keeps a part. One of the same name makes room, and can be put back; false if the browser keeps nothing.
    pub(super) fn keep(self, part: &KeptPart) -> bool {
        let replaced = kept_parts::kept().into_iter().find(|k| k.part.name == part.part.name);
        let kept = kept_parts::keep(part);
        if kept {
            self.gone.update(|gone| {
                gone.retain(|gone| gone != part);
                gone.extend(replaced.filter(|replaced| replaced != part));
            });
            self.read_kept();
        }
        kept
    }

    /// Removes a part that is kept, which can be put back; false if the browser does not.
    pub(super) fn remove(self, part: &KeptPart) -> bool {
        let removed = kept_parts::remove(&part.part.name);
        if removed {
            self.gone.update(|gone| gone.push(part.clone()));
            self.read_kept();
        }
        removed
    }

    /// What can be put back first.
    pub(super) fn last_gone(self) -> Option<KeptPart> {
        self.gone.with_untracked(|gone| gone.last().cloned())
    }

    /// Goes on with what was at hand when this page was open before, and stores it from now on.
    pub(super) fn go_on(self, settings: Settings) {
        let first = self.went_on.try_update_value(|went_on| !std::mem::replace(went_on, true));
        if first == Some(true)
            && let Some(part) = kept_parts::at_hand()
        {
            self.open_kept(part);
        }
        let at_hand = Memo::new(move |_| self.to_keep());
        let store = move |part: &Option<KeptPart>, _: Option<&_>, _| {
            if let Some(part) = part {
                kept_parts::keep_at_hand(settings, part);
            }
        };
        Effect::watch(move || at_hand.get(), store, false);
    }

    /// What is drawn: the part, and its draft where it was filled in.
    pub(super) fn drawn(self) -> Option<(Option<Draft>, Arc<Part>)> {
        if self.read.read().is_some() {
            return Some((None, self.part.get()?));
        }
        let (filled, part) = self.made.get()?;
        Some((Some(filled.draft), self.part.get().unwrap_or(part)))
    }

    /// The part with the layout it was drawn with.
    pub(super) fn as_drawn(self) -> Option<Arc<Part>> {
        self.as_drawn.get()
    }

    /// Another kind of part, or the outline of a drawing: filled in as it was left, under the title there is now.
    pub(super) fn choose(self, kind: Option<Template>) {
        let before = self.filled.get_untracked();
        let title = before.draft.title.clone();
        let found = self.left.try_update(|left| {
            left.retain(|(f, _)| f.kind() != before.kind());
            left.push((before, self.taken.get_untracked()));
            left.iter().find(|(f, _)| f.kind() == kind).cloned()
        });
        match (found.flatten(), kind) {
            (Some((Filled { mut draft, outline }, taken)), _) => {
                draft.title = title;
                match outline {
                    Some(outline) => self.take_outline(outline.with(draft)),
                    None => self.fill_in(draft),
                }
                self.taken.set(taken);
            }
            (None, Some(template)) => self.fill_in(Draft::new(template, &title)),
            (None, None) => {}
        }
    }

    /// Fills in a template.
    fn fill_in(self, draft: Draft) {
        self.outline.set(None);
        self.taken.set(None);
        self.draft.set(draft);
    }

    /// Puts the outline of a drawing in the place of a plate.
    pub(super) fn take_outline(self, outline: OutlineDraft) {
        self.read.set(None);
        self.taken.set(None);
        self.draft.set(outline.draft.clone());
        self.outline.set(Some(outline));
    }

    pub(super) fn has_outline(self) -> bool {
        self.outline.read().is_some()
    }

    /// Whether the outline of a drawing can be chosen.
    pub(super) fn knows_outline(self) -> bool {
        self.has_outline() || self.left.with(|left| left.iter().any(|(f, _)| f.kind().is_none()))
    }

    /// The dimensions to fill in, in order.
    pub(super) fn dimensions(self) -> Vec<Dimension> {
        untrack(|| self.filled.with(Filled::dimensions))
    }

    /// Takes a layout of touches for the part.
    pub(super) fn take_layout(self, with: Part) {
        let drawn = untrack(|| self.as_drawn());
        self.taken.set(drawn.map(|drawn| Taken::new(drawn, with)));
    }

    /// The part with its touches moved: where they stand as drawn, no layout is taken.
    pub(super) fn lay_touches(self, with: Part) {
        self.take_layout(with);
        if self.taken.read_untracked().as_ref() == Some(&Taken::AsDrawn) {
            self.taken.set(None);
        }
    }

    /// Whether there is no part to rehearse: something filled in has to be put right.
    pub(super) fn is_wrong(self) -> bool {
        self.part.get().is_none()
    }

    /// What has to be put right first, in a sentence; nothing where all is right.
    pub(super) fn wrong(self) -> Option<String> {
        if !self.is_wrong() {
            return None;
        }
        let Filled { draft, .. } = &*self.filled.read();
        match draft.errors().into_iter().next() {
            Some(DraftError::Dimension { dimension, low, high, .. }) => {
                let [section, name] = words::named(draft.template, dimension);
                if low > high {
                    return Some(format(Key::OwnFirstNoRoom, &[section, name]));
                }
                let unit = words::quantity(dimension).unit();
                let [low, high] = [low, high].map(|v| words::show(dimension, v));
                Some(format(Key::OwnFirstWrong, &[section, name, &low, &high, &unit]))
            }
            _ => self.filled.with(Filled::part).err().map(|why| words::why_no_part(&why)),
        }
    }

    /// Puts a part in the place of the draft; what to say of it.
    pub(super) fn open(self, part: Part) -> String {
        let says = format(Key::OwnOpened, &[&part.title]);
        self.taken.set(None);
        self.read.set(Some(Arc::new(part)));
        says
    }

    /// The part with what was filled in to make it, unless it came from a file.
    pub(super) fn to_keep(self) -> Option<KeptPart> {
        let part = Part::clone(&*self.part.get()?);
        Some(KeptPart { part, filled: self.read.read().is_none().then(|| self.filled.get()) })
    }

    /// Opens a part that is kept: filled in as it was, if that still makes it.
    pub(super) fn open_kept(self, kept: KeptPart) -> String {
        let KeptPart { part, filled } = kept;
        let touches = || part.model_touches.clone();
        let makes = |filled: &Filled| {
            filled.part().is_ok_and(|made| Part { model_touches: touches(), ..made } == part)
        };
        let Some(filled) = filled.filter(makes) else { return self.open(part) };
        let says = format(Key::OwnOpened, &[&part.title]);
        self.close();
        match filled.outline {
            Some(outline) => self.take_outline(outline),
            None => self.fill_in(filled.draft),
        }
        self.lay_touches(part);
        says
    }

    /// Puts the part away that was opened: the draft is there again.
    pub(super) fn close(self) {
        self.taken.set(None);
        self.read.set(None);
    }

    /// A session on it: empty, or with the steps of the layout that was taken.
    pub(super) fn session(self) -> Option<Session> {
        let part = self.part.get()?;
        let mut session = Session::new(Header::new(Part::clone(&part), fresh_seed())).ok()?;
        if self.has_taken.get() {
            let routine = Routine::clone(&rehearsed(&part, 0).ok()?.state().routine);
            session.act(Action::LoadRoutine { routine }).ok()?;
        }
        Some(session)
    }
}
