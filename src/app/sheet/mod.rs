//! The sheet: plan, elevation, details and title block, and what can be taken hold of on them.

mod crash_view;
mod detail_view;
mod elevation_view;
mod fixture_view;
mod frame_view;
mod grip;
mod part_view;
pub(crate) use frame_view::HATCHES;
pub(crate) use part_view::{place, solids};
mod point_side;
pub(crate) use point_side::set_height;
mod point_view;
mod run_view;
mod torch_view;
mod way_view;

use super::dom::{View, each, el, svg};
use super::i18n::Key;
use super::keys::shortcuts;
use super::logic::layout::{Bounds, Layout};
use super::logic::projection::{Projection, ScreenPoint};
use super::logic::sheet_text::sentences;
use super::logic::shown;
use super::panels::panels;
use super::playback_state::set_if_changed;
use super::screen::watch_size;
use super::settings::settings;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};
use wasm_bindgen::JsCast;

/// What the views on the sheet share. Copied freely.
#[derive(Clone, Copy)]
pub(crate) struct SheetView {
    pub(crate) layout: Memo<Layout>,
    /// Where the part is drawn.
    pub(crate) pose: Memo<Pose>,
    /// Where the torch is drawn, frame by frame, work frame, mm.
    pub(crate) torch: Memo<Point3<f64>>,
    /// Where it is told to be: while a run plays, where it came from.
    pub(crate) torch_told: Memo<Point3<f64>>,
    /// Where the stored reference part lies, if there is one.
    pub(crate) reference: Memo<Option<Pose>>,
    drawing: StoredValue<web_sys::Element, LocalStorage>,
}

impl SheetView {
    /// The way between the work frame and the sheet, tracked.
    pub(crate) fn projection(&self) -> Projection {
        self.layout.read().projection
    }

    /// Where on the sheet a pointer is.
    pub(crate) fn spot(&self, event: &web_sys::PointerEvent) -> ScreenPoint {
        let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
        let corner = self.drawing.with_value(web_sys::Element::get_bounding_client_rect);
        ScreenPoint::new(x - corner.left(), y - corner.top())
    }
}

/// A finger on a grip moves what it grips and not the page. Not every browser takes the style
/// sheet's word for that inside a drawing.
fn keep_hold(event: &web_sys::TouchEvent) {
    let on = event.target().and_then(|t| t.dyn_into::<web_sys::Element>().ok());
    if on.is_some_and(|e| e.closest(".grip, .point-height").ok().flatten().is_some()) {
        event.prevent_default();
    }
}

/// The sheet.
pub(crate) fn sheet() -> View {
    let (workspace, settings, shortcuts) = (workspace(), settings(), shortcuts());
    let holder = el("div").class("sheet-holder").node_ref(panels().sheet);
    let drawing = svg("svg").class("sheet");
    let size = watch_size(holder.element());
    let bounds = Memo::new(move |_| Bounds::of(&workspace.part()));
    let layout = Memo::new(move |_| {
        let (w, h) = size.get();
        if settings.projector() {
            Layout::projected(w, h, &bounds.get())
        } else {
            Layout::new(w, h, &bounds.get())
        }
    });
    let pose = Memo::new(move |_| {
        workspace.dragged.get().unwrap_or_else(|| match workspace.at_beat() {
            Some((log, p)) => shown::part_at(&log, p.t),
            None => workspace.state().part_shown(),
        })
    });
    let torch = Memo::new(move |_| {
        let on_show = workspace.on_show();
        shown::torch(on_show.as_ref().map(|(log, p)| (&**log, p)), workspace.hand.get())
    });
    // While a run plays nobody reads along: the torch is told of where it comes to rest.
    let torch_told =
        Memo::new(
            move |_| if workspace.playback.playing() { torch.get_untracked() } else { torch.get() },
        );
    // Only a sentence that changed is drawn anew, and none in the midst of a run.
    let words = RwSignal::new(Vec::new());
    Effect::new(move || {
        if workspace.playback.playing() {
            return;
        }
        let run = workspace.shown_run();
        let (state, part) = (workspace.state(), workspace.part());
        let all = sentences(&state, &part, &pose.get(), &torch_told.get(), run.as_deref());
        let numbered = all.into_iter().enumerate().map(|(i, s)| format!("{i} {s}"));
        set_if_changed(words, numbered.collect::<Vec<_>>());
    });
    let reference = Memo::new(move |_| shown::reference_pose(&workspace.state()));
    let element = StoredValue::new_local(drawing.element());
    provide_context(SheetView { layout, pose, torch, torch_told, reference, drawing: element });
    holder
        .class_if("narrow", move || layout.read().narrow)
        .child(
            drawing
                .test_id("sheet")
                .group(Key::Sheet)
                .attr("width", move || layout.read().width)
                .attr("height", move || layout.read().height)
                .attr("viewBox", move || layout.with(|l| format!("0 0 {} {}", l.width, l.height)))
                .on("touchstart", |event| keep_hold(&event))
                .on("keydown", move |event| shortcuts.on_sheet(&event))
                .child(frame_view::definitions())
                .child(frame_view::frame())
                .child(
                    svg("g")
                        .attr("clip-path", "url(#clip-plan)")
                        .child(fixture_view::fixture_plan())
                        .child(part_view::part_plan())
                        .child(run_view::run_plan())
                        .child(point_view::points_plan())
                        .child(part_view::part_grips())
                        .child(torch_view::torch_plan())
                        .child(crash_view::crash_plan()),
                )
                .child(
                    svg("g")
                        .attr("clip-path", "url(#clip-side)")
                        .child(elevation_view::elevation())
                        .child(torch_view::torch_side()),
                )
                .child(detail_view::details())
                .child(frame_view::title_block()),
        )
        .child(
            el("section")
                .class("visually-hidden")
                .attr("aria-label", Key::SheetInWords)
                .test_id("sheet-text")
                .child(el("ul").child(each(
                    move || words.get(),
                    |numbered| {
                        let sentence = numbered.split_once(' ').map_or("", |(_, s)| s).to_owned();
                        el("li").text(sentence)
                    },
                ))),
        )
}
