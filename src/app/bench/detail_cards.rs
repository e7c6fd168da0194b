use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::{miss_by_eye, miss_text, offset};
use crate::app::logic::number::length;
use crate::app::logic::shown::{found_offset, weld_made};
use crate::app::panels::{Detail, panels};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::SeamMiss;

/// A card each for the offset and the ends of the weld: what came out, and a press that opens the
/// detail on the sheet.
#[component]
pub(crate) fn DetailCards() -> impl IntoView {
    view! {
        <OffsetCard />
        <WeldCard end=0 />
        <WeldCard end=1 />
    }
}

#[component]
fn OffsetCard() -> impl IntoView {
    let workspace = workspace();
    let found = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        let (found, pose) = found_offset(&log, t)?;
        let (slides, rotations) = offset(&found.place, found.may, &pose);
        Some((slides, rotations.unwrap_or_default()))
    });
    let lines = move || match found.get() {
        Some((slides, rotations)) => view! {
            <span class="card-line" data-testid="offset-found">
                {slides}
                <br />
                {rotations}
            </span>
        }
        .into_any(),
        None => {
            view! { <span class="card-line quiet">{text(Key::OffsetNotFound)}</span> }.into_any()
        }
    };
    view! { <DetailCard detail=Detail::Offset>{lines}</DetailCard> }
}

#[component]
fn WeldCard(
    /// Weld start (0) or weld end (1).
    end: usize,
) -> impl IntoView {
    let workspace = workspace();
    let welded = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        weld_made(&log, t, end).map(|w| (w.miss[end], w.tolerance_mm, w.seam.clone()))
    });
    // Of several seams, which one it is.
    let several = Memo::new(move |_| workspace.part().seams.len() > 1);
    let seam = move || welded.get().filter(|_| several.get()).map(|(.., seam)| seam);
    let miss = move |(miss, tolerance): (SeamMiss, f64)| {
        let class = if miss.lands(tolerance) { "card-line good" } else { "card-line bad" };
        view! {
            <span
                class=class
                data-testid=["seam-miss-start", "seam-miss-end"][end]
                data-value=miss.across_mm
            >
                {if workspace.state().concealed() {
                    let mark = if miss.lands(tolerance) { "✓" } else { "✗" };
                    format!("{mark} {}", miss_by_eye(miss.across_mm))
                } else {
                    miss_text(&miss, tolerance)
                }}
            </span>
        }
    };
    let lines = move || match welded.get() {
        Some((of_end, tolerance, _)) => miss((of_end, tolerance)).into_any(),
        None => view! { <span class="card-line quiet">{text(Key::NotWelded)}</span> }.into_any(),
    };
    let allowed = move || {
        let tolerance = workspace.part().seams.first().map_or(0.0, |s| s.tolerance_mm);
        format(Key::AllowedIs, &[&length(tolerance, 1)])
    };
    view! {
        <DetailCard detail=Detail::ENDS[end]>
            {move || seam().map(|name| view! { <span class="card-line quiet">{name}</span> })}
            {lines}
            <span class="card-line quiet">{allowed}</span>
        </DetailCard>
    }
}

#[component]
fn DetailCard(detail: Detail, children: Children) -> impl IntoView {
    let panels = panels();
    let toggle = move |_| {
        panels.detail.update(|open| *open = (*open != Some(detail)).then_some(detail));
    };
    view! {
        <button
            type="button"
            class="detail-card"
            data-testid=format!("detail-{}", detail.id())
            aria-pressed=move || (panels.detail.get() == Some(detail)).to_string()
            title=text(Key::OpenDetail)
            on:click=toggle
        >
            <span class="card-letter" aria-hidden="true">{detail.letter()}</span>
            <span class="card-title">{text(detail.title())}</span>
            {children()}
        </button>
    }
}
