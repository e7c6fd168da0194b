//! What a mouse draws on the plan: an arrow towards a face is a feel, a line along a seam is a weld. A press
//! on the free plan brings the torch there.

use super::drag::Drag;
use super::in_hand::InHand;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, text};
use crate::app::logic::aim::Aim;
use crate::app::logic::palette::Piece;
use crate::app::logic::stroke::{is_stroke, stroke_aim};
use crate::app::logic::svg_path::{d, polyline};
use crate::app::routine::add_piece_at;
use crate::app::workspace::workspace;
use kurbo::{Point, Vec2};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use web_sys::PointerEvent;

/// What a pointer took hold of on the free plan.
#[derive(Debug, Clone, Copy)]
struct Grip {
    /// Where it pressed, sheet.
    at: Point,
    /// A mouse draws; a finger scrolls the page.
    draws: bool,
    torch: Point3<f64>,
    aim: Option<Aim>,
}

/// The free plan. A press brings the torch there, a stroke adds a feel from its start.
#[component]
pub(super) fn FreePlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let drawn = RwSignal::new(None::<Aim>);
    let drag = Drag::<Grip>::new();
    let put_torch = move |at: Point, height: f64| {
        let plan = view.layout.read_untracked().projection.plan;
        let at = plan.point_back(at);
        let at = hand.on_plan(&view, Point3::new(at.x, at.y, height), Vec2::ZERO, true);
        workspace.hold_torch(at);
    };
    let back = move |grip: Grip| {
        drawn.set(None);
        workspace.hold_torch(grip.torch);
        workspace.chosen_aim.set(grip.aim);
    };
    let start = move |event: &PointerEvent| {
        let plays = workspace.playback.get_untracked().is_some_and(|p| p.playing);
        (!plays).then(|| Grip {
            at: view.pointer(event),
            draws: event.pointer_type() == "mouse",
            torch: workspace.hand.get_untracked(),
            aim: workspace.chosen_aim.get_untracked(),
        })
    };
    let follow = move |from: Point, to: Point, grip: Grip| {
        let aim = stroke_aim(to - from).filter(|_| grip.draws);
        if aim == drawn.get_untracked() {
            return;
        }
        let Some(aim) = aim else { return back(grip) };
        put_torch(from, hand.feel_height(workspace));
        workspace.chosen_aim.set(Some(aim));
        drawn.set(Some(aim));
    };
    let drop = move |grip: Grip| {
        let Some(aim) = drawn.get_untracked() else {
            // The results of a run stay until something is done.
            if workspace.playback.get_untracked().is_none() {
                put_torch(grip.at, grip.torch.z);
            }
            return;
        };
        drawn.set(None);
        if untrack(|| hand.ahead.get()).is_none() {
            back(grip);
            workspace.warn(text(Key::NoFaceAhead).into());
        } else if add_piece_at(workspace, Piece::Feel, aim, workspace.hand.get_untracked()) {
            workspace.chosen_aim.set(None);
        }
    };
    let listeners = drag.listeners(start, follow, drop, back);
    let area = move || d(&view.layout.read().plan);
    view! { <path class="free-plan" {..listeners} data-testid="free-plan" d=area /> }
}

/// The seams where they lie: a stroke along one adds the start and the end of a weld.
#[component]
pub(super) fn SeamStrokes() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let drawn = RwSignal::new(None::<[Point3<f64>; 2]>);
    let drag = Drag::<()>::new();
    let on_seam = move |at: Point| {
        let plan = view.layout.read_untracked().projection.plan;
        let reach = SNAP / plan.scale;
        hand.snaps.with_untracked(|snaps| snaps.on_seam(plan.point_back(at), reach))
    };
    let follow = move |from: Point, to: Point, ()| {
        let ends = on_seam(from).zip(on_seam(to)).filter(|_| is_stroke(to - from));
        drawn.set(ends.map(<[_; 2]>::from));
    };
    let drop = move |()| {
        let Some([from, to]) = drawn.get_untracked() else { return };
        drawn.set(None);
        let aim = workspace.aim.get_untracked();
        if add_piece_at(workspace, Piece::WeldFrom, aim, from) {
            add_piece_at(workspace, Piece::WeldTo, aim, to);
        }
    };
    let start = move |event: &PointerEvent| {
        let plays = workspace.playback.get_untracked().is_some_and(|p| p.playing);
        (event.pointer_type() == "mouse" && !plays).then_some(())
    };
    let listeners = drag.listeners(start, follow, drop, move |()| drawn.set(None));
    let seams = move || {
        let plan = view.projection().plan;
        let line = |seam: &[Point3<f64>; 2]| d(&polyline(seam.map(|p| plan.point(&p))));
        hand.snaps.read().seams().iter().map(line).collect::<String>()
    };
    let stroke = move || {
        let plan = view.projection().plan;
        drawn.get().map(|ends| {
            view! { <path class="drawn-weld" d=d(&polyline(ends.map(|p| plan.point(&p)))) /> }
        })
    };
    view! {
        <path class="seam-stroke" {..listeners} data-testid="seam-stroke" d=seams />
        {stroke}
    }
}

/// Nearer to an end of a seam than this a stroke begins or ends there, pixels.
const SNAP: f64 = 12.0;
