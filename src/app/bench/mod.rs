//! What the bench offers beside the routine: which part, what the wire is like, how high the
//! points are.

mod points;
mod six;
mod torch;

pub(crate) use six::six_numbers;

use super::dom::{View, el, note, row_name};
use super::i18n::{Key, format};
use super::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::cell::{Part, parts};
use nudgeproof::session::{Header, Session};

/// Seed of the first round on a part chosen at the bench.
const FIRST_SEED: u64 = 1;

/// Puts an empty session on this part onto the workspace; what was there is put aside.
pub(crate) fn take_part(workspace: Workspace, part: Part, seed: u64) {
    let title = part.title.clone();
    let settings = workspace.with_session(|s| s.header().settings);
    match Session::new(Header { settings, ..Header::new(part, seed) }) {
        Ok(session) => {
            workspace.replace(session);
            workspace.notify(format(Key::PartOnBench, &[&title]));
        }
        Err(why) => workspace.warn(why.to_string()),
    }
}

/// Part, torch and points, folded away.
pub(crate) fn bench_panel() -> View {
    let workspace = workspace();
    let all = Signal::stored(parts());
    let name = Memo::new(move |_| workspace.part().name.clone());
    let choose = move |event: web_sys::Event| {
        let chosen = event_target_value(&event);
        let part = all.with(|a| a.iter().find(|p| p.name == chosen).cloned());
        if let Some(part) = part.filter(|p| p.name != name.get_untracked()) {
            take_part(workspace, part, FIRST_SEED);
        }
    };
    let options = all.with(|a| {
        let option = |p: &Part| {
            let (value, mine) = (p.name.clone(), p.name.clone());
            el("option")
                .attr("value", value)
                .attr("selected", move || name.get() == mine)
                .text(p.title.clone())
        };
        a.iter().map(option).collect::<Vec<_>>()
    });
    el("details")
        .class("drawer bench-drawer")
        .test_id("bench-panel")
        .child(el("summary").text(Key::BenchPanel))
        .child(
            el("div")
                .class("drawer-body")
                .child(
                    el("label").class("pick").child(row_name(Key::PartPlace)).child(
                        el("select")
                            .test_id("part-choice")
                            .on("change", choose)
                            .child(options)
                            .value(move || name.get()),
                    ),
                )
                .child(note().text(Key::PartChoiceNote))
                .child(torch::torch_panel())
                .child(points::points_panel()),
        )
}
