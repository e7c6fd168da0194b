//! Where the nozzle ran into something, and where the wire was bent.

use super::contact_view::Touches;
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format};
use crate::app::logic::run_marks::crash_words;
use crate::app::logic::svg_path::{burst, d, kink};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::EventKind;

/// Something that the torch met on its way.
#[derive(Debug, Clone, PartialEq)]
struct Met {
    /// The nozzle met it, and the run stopped; otherwise it bent the wire.
    crash: bool,
    body: String,
    /// The torch point there, work frame, mm.
    at: Point3<f64>,
}

/// What the torch met in the run on show so far.
fn met(workspace: Workspace) -> Vec<Met> {
    let Some((log, t)) = workspace.shown_so_far() else { return Vec::new() };
    let events = log.events.iter().filter(|e| e.time <= t + 1e-9);
    let each = events.filter_map(|e| match &e.what {
        EventKind::Crash { body, at } => Some(Met { crash: true, body: body.clone(), at: *at }),
        EventKind::WireBent { body, at, .. } => {
            Some(Met { crash: false, body: body.clone(), at: *at })
        }
        _ => None,
    });
    each.collect()
}

/// What the torch met, on the plan, with a text each.
#[component]
pub(super) fn CrashView() -> impl IntoView {
    let (workspace, view) = (workspace(), expect_context::<SheetView>());
    let all = Memo::new(move |_| met(workspace));
    let touches = expect_context::<Touches>();
    move || {
        let layout = view.layout.get();
        let mut taken = touches.words.get();
        taken.extend(touches.places.read().iter().map(|number| number.covers));
        let each = |met: &Met| {
            let at = layout.projection.plan.point(&met.at);
            let text = if met.crash { Key::CrashHere } else { Key::BentHere };
            let said = format(text, &[&met.body]);
            let words = crash_words(at, &said, layout.letter, &layout.drawing, &mut taken);
            let (class, test_id, sign) = sign(met, at);
            view! {
                <g class=class data-testid=test_id>
                    <path d=sign />
                    {label("label", words.at, words.anchor, words.text)}
                </g>
            }
        };
        all.get().iter().map(each).collect_view()
    }
}

/// The same in the elevation, without texts.
#[component]
pub(super) fn CrashInElevation() -> impl IntoView {
    let (workspace, view) = (workspace(), expect_context::<SheetView>());
    let all = Memo::new(move |_| met(workspace));
    let each = move |met: &Met| {
        let at = view.projection().elevation.point(&met.at);
        let (class, test_id, sign) = sign(met, at);
        view! {
            <g class=class data-testid=format!("{test_id}-side")>
                <path d=sign />
            </g>
        }
    };
    move || all.get().iter().map(each).collect_view()
}

/// Classes, name for tests, and path.
fn sign(met: &Met, at: kurbo::Point) -> (&'static str, &'static str, String) {
    if met.crash {
        ("crash", "crash", d(&burst(at)))
    } else {
        ("crash bent", "wire-bent", d(&kink(at)))
    }
}
