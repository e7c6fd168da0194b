//! Rehearse: a part of the learner's own, filled in or read from a file, and taken to the bench.

mod drawing;
mod field;
mod files;
mod kept;
mod words;

use super::controls::{LabelledField, Note, RowName, Select, TextField};
use super::i18n::{Key, format, text};
use super::lessons::fresh_seed;
use super::share::LinkOpener;
use super::workspace::workspace;
use drawing::PartDrawing;
use field::DimensionField;
use files::{KeptParts, PartFiles};
use leptos::prelude::*;
use nudgeproof::cell::{Dimension, Draft, DraftError, Part, Section, Template};
use nudgeproof::session::{Header, Session};
use std::sync::Arc;

/// What is filled in or read, as long as the page lives.
#[derive(Clone, Copy)]
pub(crate) struct Rehearsal {
    draft: RwSignal<Draft>,
    /// A part that was read or kept: it stands in the place of the draft.
    read: RwSignal<Option<Arc<Part>>>,
    kept: RwSignal<Vec<Part>>,
    /// The dimension whose field one is in.
    at_hand: RwSignal<Option<Dimension>>,
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
        let (read, kept) = (RwSignal::new(None), RwSignal::new(kept::kept()));
        Self { draft, read, kept, at_hand: RwSignal::new(None), made }
    }

    fn here() -> Self {
        expect_context()
    }

    /// What is drawn: the part, and its draft where it was filled in.
    fn drawn(self) -> Option<(Option<Draft>, Arc<Part>)> {
        match self.read.get() {
            Some(part) => Some((None, part)),
            None => self.made.get().map(|(draft, part)| (Some(draft), part)),
        }
    }

    /// Whether there is no part to rehearse: something filled in has to be put right.
    fn is_wrong(self) -> bool {
        self.read.with(Option::is_none) && self.draft.with(|d| d.part().is_err())
    }

    /// What has to be put right first, in a sentence; nothing where all is right.
    fn wrong(self) -> Option<String> {
        if !self.is_wrong() {
            return None;
        }
        self.draft.with(|draft| {
            let Some(DraftError::Dimension { dimension, low, high, .. }) =
                draft.errors().into_iter().next()
            else {
                return Some(text(Key::OwnTitleMissing).to_owned());
            };
            let unit = field::quantity(dimension).unit();
            let [low, high] = [low, high].map(|v| field::show(dimension, v));
            let section = text(words::section(draft.template, dimension.section()));
            let name = text(words::dimension(draft.template, dimension));
            Some(format(Key::OwnFirstWrong, &[section, name, &low, &high, &unit]))
        })
    }

    /// The part to rehearse.
    fn part(self) -> Option<Part> {
        match self.read.get_untracked() {
            Some(part) => Some(Part::clone(&part)),
            None => self.draft.with_untracked(|d| d.part().ok()),
        }
    }

    /// An empty session on it.
    fn session(self) -> Option<Session> {
        Session::new(Header::new(self.part()?, fresh_seed())).ok()
    }
}

/// The place: the drawing, beside it what is filled in, and the way to the bench.
#[component]
pub(crate) fn RehearsePlace(links: LinkOpener) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let workspace = workspace();
    let go = move |_| match rehearsal.session() {
        Some(session) => links.rehearse(session),
        None => workspace.warn(rehearsal.wrong().unwrap_or_default()),
    };
    let template = Memo::new(move |_| rehearsal.draft.with(|d| d.template));
    let form = move || match rehearsal.read.get() {
        Some(part) => view! { <OfFile part /> }.into_any(),
        None => view! { <Form template=template.get() /> }.into_any(),
    };
    view! {
        <div class="rehearse" data-testid="rehearse">
            <PartDrawing />
            <div class="own-part">
                <div class="own-head">
                    <h1>{text(Key::PlaceRehearse)}</h1>
                    <p>{text(Key::RehearseLead)}</p>
                </div>
                <div class="own-form">
                    {form}
                    <PartFiles />
                    <KeptParts />
                </div>
                <div class="own-go">
                    <p class="own-wrong" role="status" data-testid="own-wrong">
                        {move || rehearsal.wrong()}
                    </p>
                    <button
                        type="button"
                        class="run-button"
                        data-testid="rehearse-it"
                        disabled=move || rehearsal.is_wrong()
                        on:click=go
                    >
                        {text(Key::RehearseIt)}
                    </button>
                </div>
            </div>
        </div>
    }
}

/// A part that was read: what it is, and the way back to the template.
#[component]
fn OfFile(part: Arc<Part>) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    view! {
        <h2 data-testid="own-read">{part.title.clone()}</h2>
        <Note>{text(Key::OwnFromFile)}</Note>
        <button
            type="button"
            data-testid="own-to-template"
            on:click=move |_| rehearsal.read.set(None)
        >
            {text(Key::OwnToTemplate)}
        </button>
    }
}

/// The template, its name and its dimensions, section by section.
#[component]
fn Form(template: Template) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let draft = rehearsal.draft;
    let options: Vec<_> = Template::ALL
        .iter()
        .map(|t| (t.id().to_owned(), text(words::template(*t)).into()))
        .collect();
    let choose = move |id: String| {
        if let Some(chosen) = Template::ALL.iter().find(|t| t.id() == id) {
            let title = draft.with_untracked(|d| d.title.clone());
            draft.set(Draft::new(*chosen, &title));
        }
    };
    let title = Signal::derive(move || draft.with(|d| d.title.clone()));
    let sections = Section::ALL.into_iter().filter_map(move |section| {
        let dimensions = template.dimensions().into_iter().map(|(d, _)| d);
        let fields: Vec<_> = dimensions.filter(|d| d.section() == section).collect();
        (!fields.is_empty()).then(|| {
            let fields =
                fields.into_iter().map(|dimension| view! { <DimensionField template dimension /> });
            let more = match section {
                Section::Joint => view! { <Edges /> }.into_any(),
                Section::Clamps => view! { <Clamps /> }.into_any(),
                Section::Base | Section::Piece | Section::Play => ().into_any(),
            };
            view! {
                <fieldset class="own-section">
                    <legend>{text(words::section(template, section))}</legend>
                    {fields.collect_view()}
                    {more}
                </fieldset>
            }
        })
    });
    view! {
        <LabelledField name=text(Key::OwnTemplate)>
            <Select
                test_id="own-template"
                options
                value=template.id().to_owned()
                on_change=choose
            />
        </LabelledField>
        <LabelledField name=text(Key::OwnTitle)>
            <TextField
                test_id="own-title"
                value=title
                on_commit=move |title| draft.update(|d| d.title = title)
            />
        </LabelledField>
        {sections.collect_view()}
    }
}

/// How the felt edges were made.
#[component]
fn Edges() -> impl IntoView {
    let draft = Rehearsal::here().draft;
    let options: Vec<(String, String)> =
        words::EDGES.map(|(_, id, name)| (id.to_owned(), text(name).to_owned())).into();
    let made = Signal::derive(move || {
        let here = draft.with(|d| d.edges);
        let found = words::EDGES.into_iter().find(|(made, ..)| *made == here);
        found.map_or_else(String::new, |(_, id, _)| id.to_owned())
    });
    let choose = move |id: String| {
        if let Some((made, ..)) = words::EDGES.into_iter().find(|(_, name, _)| *name == id) {
            draft.update(|d| d.edges = made);
        }
    };
    view! {
        <LabelledField name=text(Key::OwnEdges)>
            <Select test_id="own-edges" options value=made on_change=choose />
        </LabelledField>
    }
}

/// Where clamps stand.
#[component]
fn Clamps() -> impl IntoView {
    let draft = Rehearsal::here().draft;
    let tick = |id: &'static str, name: Key, of: fn(&mut Draft) -> &mut bool| {
        let ticked = move || draft.with(|d| *of(&mut d.clone()));
        view! {
            <label class="tick">
                <input
                    type="checkbox"
                    data-testid=id
                    prop:checked=ticked
                    on:change:target=move |event| {
                        let on = event.target().checked();
                        draft.update(|d| *of(d) = on);
                    }
                />
                <span>{text(name)}</span>
            </label>
        }
    };
    view! {
        <div class="own-ticks">
            <RowName>{text(Key::OfClamps)}</RowName>
            {tick("clamp-behind", Key::ClampBehind, |d| &mut d.north_clamp)}
            {tick("clamp-right", Key::ClampRight, |d| &mut d.east_clamp)}
        </div>
    }
}

/// What to say of a part that was opened.
fn opened(part: &Part) -> String {
    format(Key::OwnOpened, &[&part.title])
}
