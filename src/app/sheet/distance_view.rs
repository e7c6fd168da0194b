//! Distances from the torch, or the point, in hand to what is drawn, and what it stands in line with.

use super::contact_view::Touches;
use super::in_hand::{Held, InHand};
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format};
use crate::app::logic::distance_marks::{
    DistanceMark, Guide, PlanDistances, ToTell, beside_torch, height_guide,
};
use crate::app::logic::distances::{Ahead, lever};
use crate::app::logic::labels::PlanLabels;
use crate::app::logic::number::length;
use crate::app::logic::svg_path::d;
use crate::app::logic::torch_shape::TorchFront;
use crate::app::logic::words::Words;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;

/// On the plan: the distance to the face that a feel would meet, the lever to the last feel on it, the
/// guides, and a word where the tip is inside metal.
#[component]
pub(super) fn DistancesOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let (hand, touches) = (expect_context::<InHand>(), expect_context::<Touches>());
    let told = move || {
        let held = hand.held.get()?;
        let ahead = hand.ahead.get();
        // Only where a feel would touch the part does it make a lever.
        let lever = ahead
            .as_ref()
            .filter(|ahead| ahead.on_part)
            .and_then(|_| lever(&workspace.routine(), &held.at, held.aim));
        let values = [ahead.as_ref().map(|a| a.distance), lever.map(|l| l.length)];
        let radius = workspace.state().settings.wire_radius();
        let inside = hand.metal.with(|metal| metal.around(&held.at, radius).map(str::to_owned));
        let tell = ToTell {
            ahead: ahead.map(|ahead| {
                let words = words_ahead(workspace, &ahead, &held);
                (ahead, words)
            }),
            lever: lever.map(|lever| (lever, format(Key::Lever, &[&length(lever.length, 1)]))),
            on: hand.snaps.with(|snaps| snaps.in_line(&held.at)),
            inside: inside.map(|body| format(Key::TipInside, &[&body])),
        };
        let mut taken = hand.labels.with(PlanLabels::taken);
        taken.extend(touches.places.read().iter().map(|number| number.covers));
        let told = view.layout.with(|l| PlanDistances::new(&held.at, held.aim, &tell, taken, l));
        Some((told, values))
    };
    let drawing = move || {
        let (PlanDistances { ahead, lever, guides, inside }, [to_face, lever_mm]) = told()?;
        let inside = inside.map(|Words { text, at, anchor }| {
            view! { <g data-testid="tip-inside">{label("label bad", at, anchor, text)}</g> }
        });
        Some(view! {
            {guides.into_iter().map(|guide| guide_view(guide, "guide")).collect_view()}
            {lever.map(|mark| distance(mark, "distance lever", "distance-lever", lever_mm))}
            {ahead.map(|mark| distance(mark, "distance", "distance-ahead", to_face))}
            {inside}
        })
    };
    view! {
        <g class="distances" data-testid="distances">
            {drawing}
        </g>
    }
}

/// In the elevation: heights over the table and under the top edge, the distance to the seam, and what
/// the tip is level with.
#[component]
pub(super) fn DistancesInElevation() -> impl IntoView {
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let guide = move || {
        let held = hand.held.get()?;
        let level = hand.snaps.with(|snaps| snaps.level(&held.at))?;
        Some(guide_view(view.layout.with(|l| height_guide(&held.at, &level, l)), "height-guide"))
    };
    let lines = move || {
        // A point that is dragged has its own number.
        let held = hand.held.get().filter(|_| hand.point.read().is_none())?;
        let top = hand.ahead.with(|ahead| {
            let ahead = ahead.as_ref()?;
            hand.metal.read().top(&ahead.body)
        });
        let over = format(Key::TipOverTable, &[&length(held.at.z, 1)]);
        let top = top.map(|top| {
            let by = length((held.at.z - top).abs(), 1);
            format(if held.at.z > top { Key::TipOverTop } else { Key::TipUnderTop }, &[&by])
        });
        let seam = hand.to_seam.get().map(|mm| format(Key::TipToSeam, &[&length(mm, 1)]));
        let lines = [Some(over), top, seam].into_iter().flatten().collect();
        let at = view.projection().elevation.point(&held.at);
        let own = TorchFront::new(&held.at, view.shape.get(), &view.projection()).label();
        let beside = at + own.to_vec2();
        let words = view.layout.with(|l| beside_torch(lines, beside, at.x, l));
        let word = |Words { text, at, anchor }: Words| label("label", at, anchor, text);
        Some(words.into_iter().map(word).collect_view())
    };
    view! {
        <g class="distances" data-testid="distances-side">
            {guide}
            {lines}
        </g>
    }
}

/// "15.4 to the west face", or to the body that is met where it is not the base of the part.
fn words_ahead(workspace: Workspace, ahead: &Ahead, held: &Held) -> String {
    let distance = length(ahead.distance, 1);
    let part = workspace.part();
    if part.bodies.first().is_some_and(|base| base.name == ahead.body) {
        format(Key::ToFace, &[&distance, held.aim.face()])
    } else {
        format(Key::ToBody, &[&distance, &ahead.body])
    }
}

fn distance(
    mark: DistanceMark,
    class: &'static str,
    test_id: &'static str,
    mm: Option<f64>,
) -> impl IntoView {
    let DistanceMark { dimension, words } = mark;
    view! {
        <g class=class data-testid=test_id data-value=mm>
            {dimension.witness.map(|line| view! { <path d=d(&line) /> })}
            <path d=d(&dimension.shaft) />
            {dimension.heads.map(|head| view! { <path class="head" d=d(&head) /> })}
            {label("label", words.at, words.anchor, words.text)}
        </g>
    }
}

fn guide_view(guide: Guide, test_id: &'static str) -> impl IntoView {
    let Guide { line, words } = guide;
    view! {
        <g class="guide" data-testid=test_id>
            <path d=d(&line) />
            {label("label", words.at, words.anchor, words.text)}
        </g>
    }
}
