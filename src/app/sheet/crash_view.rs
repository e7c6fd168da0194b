//! Where the torch ran into something, and with what.

use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::run_marks::crash_label;
use crate::app::logic::svg_path::{burst, d};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::cell::TorchPart;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::EventKind;

/// What the torch ran into in the run on show, once it has: with which part of the torch, into what
/// and where, work frame, mm.
fn crash(workspace: Workspace) -> Option<(TorchPart, String, Point3<f64>)> {
    let (log, t) = workspace.shown_so_far()?;
    log.events.iter().rev().find_map(|e| match &e.what {
        EventKind::Crash { hit_by, body, at } if e.time <= t + 1e-9 => {
            Some((*hit_by, body.clone(), *at))
        }
        _ => None,
    })
}

/// The crash on the plan, with a text.
#[component]
pub(super) fn CrashView() -> impl IntoView {
    let (workspace, view) = (workspace(), expect_context::<SheetView>());
    let crash = Memo::new(move |_| crash(workspace));
    move || {
        let (hit_by, body, at) = crash.get()?;
        let layout = view.layout.get();
        let at = layout.projection.plan.point(&at);
        let who = match hit_by {
            TorchPart::Wire => Key::TheWire,
            TorchPart::Nozzle => Key::TheNozzle,
        };
        let said = format(Key::CrashHere, &[text(who), &body]);
        let (beside, anchor) = crash_label(at, &said, &layout.plan);
        Some(view! {
            <g class="crash" data-testid="crash">
                <path d=d(&burst(at)) />
                {label("label", beside, anchor, said)}
            </g>
        })
    }
}

/// The crash in the elevation.
#[component]
pub(super) fn CrashInElevation() -> impl IntoView {
    let (workspace, view) = (workspace(), expect_context::<SheetView>());
    let crash = Memo::new(move |_| crash(workspace));
    move || {
        let (.., at) = crash.get()?;
        let at = view.projection().elevation.point(&at);
        Some(view! {
            <g class="crash" data-testid="crash-side">
                <path d=d(&burst(at)) />
            </g>
        })
    }
}
