//! The drawer under the sheet: which part lies on the bench, the wire, the heights of the points.

mod detail_cards;
mod heights;
mod six_numbers;
mod wire;

pub(crate) use detail_cards::DetailCards;
pub(crate) use six_numbers::SixNumbers;

use super::controls::{Note, RowName, Select};
use super::i18n::{Key, format, text};
use super::lessons::PartThumbnail;
use super::run::RateChoice;
use super::workspace::{Workspace, workspace};
use heights::PointHeights;
use leptos::prelude::*;
use nudgeproof::cell::{Part, parts};
use nudgeproof::session::{Header, Session};
use wire::WirePanel;

/// Seed of the first session on a part chosen at the bench.
const FIRST_SEED: u64 = 1;

/// Opens an empty session on this part. The session that was open is put aside.
pub(crate) fn take_part(workspace: Workspace, part: Part, seed: u64) {
    let title = part.title.clone();
    let settings = workspace.with_session(|s| s.header().settings);
    match Session::new(Header { settings, ..Header::new(part, seed) }) {
        Ok(session) => {
            workspace.begin(session);
            workspace.notify(format(Key::PartOnBench, &[&title]));
        }
        Err(why) => workspace.warn(why.to_string()),
    }
}

/// Part, wire and point heights, folded away at first.
#[component]
pub(crate) fn BenchDrawer() -> impl IntoView {
    view! {
        <details class="drawer bench-drawer" data-testid="bench-panel">
            <summary>{text(Key::BenchPanel)}</summary>
            <div class="drawer-body">
                <PartChoice />
                <WirePanel />
                <PointHeights />
                <RateChoice />
            </div>
        </details>
    }
    .into_any()
}

/// Which part lies on the bench.
#[component]
fn PartChoice() -> impl IntoView {
    let workspace = workspace();
    let parts = StoredValue::new(parts());
    let name = Memo::new(move |_| workspace.part().name.clone());
    // A part that is not offered stands in the list while it lies there.
    let options = Signal::derive(move || {
        let label = |part: &Part| (part.name.clone(), part.title.clone());
        let mut all: Vec<_> = parts.read_value().iter().map(label).collect();
        let here = label(&workspace.part());
        if !all.contains(&here) {
            all.push(here);
        }
        all
    });
    let on_change = move |chosen: String| {
        let part = parts.read_value().iter().find(|p| p.name == chosen).cloned();
        if let Some(part) = part.filter(|p| p.name != name.get_untracked()) {
            take_part(workspace, part, FIRST_SEED);
        }
    };
    view! {
        <label class="pick">
            <RowName>{text(Key::PartPlace)}</RowName>
            <Select test_id="part-choice" options value=name on_change />
        </label>
        <div class="part-on-bench" data-testid="part-on-bench">
            {move || view! { <PartThumbnail part=Part::clone(&workspace.part()) /> }}
            <Note>{text(Key::PartChoiceNote)}</Note>
        </div>
    }
}
