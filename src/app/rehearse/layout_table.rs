use super::layout_finder::{LayoutFinder, Layouts};
use super::rehearsal::Rehearsal;
use crate::app::controls::Group;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::length;
use crate::app::logic::taken::nameless;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::lesson::LayoutChoice;
use std::sync::Arc;

/// The layout a part was drawn with and the best ones, side by side: three touches or four? Under them the
/// faces that touches can be kept off.
#[component]
pub(super) fn LayoutTable(layouts: Arc<Layouts>, finder: LayoutFinder) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let (part, has_taken) = (rehearsal.part, rehearsal.has_taken);
    let row = |name: &'static str, choice: LayoutChoice| {
        let sign = if choice.share <= 1.0 { " ✓" } else { " ✗" };
        let layout = Arc::new(choice.part);
        let this = nameless(&layout);
        let is_taken = Memo::new(move |_| {
            has_taken.get() && part.read().as_ref().is_some_and(|part| nameless(part) == this)
        });
        let take = move |_| rehearsal.take_layout(Part::clone(&layout));
        view! {
            <tr data-testid="own-layout" class:taken=is_taken>
                <th scope="row">{name}</th>
                <td>{choice.touches}</td>
                <td>{format!("±{}{sign}", length(choice.across_mm, 2))}</td>
                <td>{format!("{:.0} s", choice.searching_s)}</td>
                <td>
                    <button
                        type="button"
                        class="quiet"
                        data-testid="own-take"
                        disabled=is_taken
                        on:click=take
                    >
                        {move || text(if is_taken.get() { Key::ProspectTaken } else { Key::ProspectTake })}
                    </button>
                </td>
            </tr>
        }
    };
    let keep_out = move |face: String| {
        let this = face.clone();
        let out = move || finder.keeps_out(&this);
        let name = face.clone();
        view! {
            <label class="tick">
                <input
                    type="checkbox"
                    data-testid="own-keep-out"
                    prop:checked=out
                    on:change:target=move |event| {
                        finder.keep_out(&face, event.target().checked());
                        if let Some(part) = untrack(|| rehearsal.as_drawn()) {
                            finder.start(&part);
                        }
                    }
                />
                <span>{name}</span>
            </label>
        }
    };
    let none = layouts.best.is_empty();
    view! {
        <table class="prospect-layouts">
            <thead>
                <tr>
                    <td></td>
                    <th scope="col">{text(Key::ProspectTouches)}</th>
                    <th scope="col">{format(Key::ProspectWorst, &[])}</th>
                    <th scope="col">{text(Key::ProspectSearching)}</th>
                    <td></td>
                </tr>
            </thead>
            <tbody>
                {layouts.own.clone().map(|own| row(text(Key::ProspectOwn), own))}
                {layouts
                    .best
                    .iter()
                    .map(|choice| row(text(Key::ProspectBestRow), choice.clone()))
                    .collect_view()}
            </tbody>
        </table>
        <p class="prospect-note">
            {text(if none { Key::ProspectNone } else { Key::ProspectTakeNote })}
        </p>
        <Group class="own-ticks" name=text(Key::ProspectKeepOff)>
            <span>{text(Key::ProspectKeepOff)}</span>
            <For each=move || finder.faces() key=String::clone children=keep_out />
        </Group>
    }
}
