//! Rehearse: a part of the learner's own, filled in or read from a file, and taken to the bench.

mod drawing;
mod field;
mod files;
mod grips;
mod layout_finder;
mod layout_table;
mod outline_dialog;
mod outline_reader;
mod prospect;
mod rehearsal;
mod study_view;
mod studying;
mod words;

pub(crate) use rehearsal::Rehearsal;

use super::controls::{LabelledField, Note, Select, TextField};
use super::i18n::{Key, text};
use super::settings::settings;
use super::share::LinkOpener;
use super::workspace::workspace;
use drawing::PartDrawing;
use field::DimensionField;
use files::{KeptParts, PartFiles};
use leptos::prelude::*;
use nudgeproof::cell::{Draft, Part, Section, Template};
use prospect::Prospect;
use std::sync::Arc;

/// The place: the drawing, beside it what is filled in, and the way to the bench.
#[component]
pub(crate) fn RehearsePlace(links: LinkOpener) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let workspace = workspace();
    rehearsal.read_kept();
    rehearsal.go_on(settings());
    let go = move |_| match untrack(|| rehearsal.session()) {
        Some(session) => links.rehearse(session),
        None => workspace.warn(untrack(|| rehearsal.wrong()).unwrap_or_default()),
    };
    let form = Memo::new(move |_| (rehearsal.draft.with(|d| d.template), rehearsal.has_outline()));
    let filled_in = move || match rehearsal.read.get() {
        Some(part) => view! { <OfFile part /> }.into_any(),
        None => view! { <Form template=form.get().0 /> }.into_any(),
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
                    {filled_in}
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
            <Prospect links />
        </div>
    }
}

/// Among the kinds of part: the outline of a drawing.
const OUTLINE: &str = "outline";

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
            on:click=move |_| rehearsal.close()
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
    let options = move || {
        let template = |t: &Template| (t.id().to_owned(), text(words::template(*t)).into());
        let outline = (OUTLINE.to_owned(), text(Key::TemplateOutline).to_owned());
        let outline = rehearsal.knows_outline().then_some(outline);
        outline.into_iter().chain(Template::ALL.iter().map(template)).collect()
    };
    let chosen = move || {
        let id = if rehearsal.has_outline() { OUTLINE } else { template.id() };
        id.to_owned()
    };
    let choose = move |id: String| {
        rehearsal.choose(Template::ALL.iter().find(|t| t.id() == id).copied());
    };
    let title = Signal::derive(move || draft.with(|d| d.title.clone()));
    let sections = Section::ALL.into_iter().filter_map(move |section| {
        let dimensions = rehearsal.dimensions().into_iter();
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
                options=Signal::derive(options)
                value=Signal::derive(chosen)
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
    let tick = |id: &'static str, name: Key, is: fn(&Draft) -> bool, set: fn(&mut Draft, bool)| {
        let ticked = move || draft.with(is);
        view! {
            <label class="tick">
                <input
                    type="checkbox"
                    data-testid=id
                    prop:checked=ticked
                    on:change:target=move |event| {
                        let on = event.target().checked();
                        draft.update(|d| set(d, on));
                    }
                />
                <span>{text(name)}</span>
            </label>
        }
    };
    view! {
        <div class="own-ticks">
            {tick("clamp-behind", Key::ClampBehind, |d| d.north_clamp, |d, on| d.north_clamp = on)}
            {tick("clamp-right", Key::ClampRight, |d| d.east_clamp, |d, on| d.east_clamp = on)}
        </div>
    }
}
