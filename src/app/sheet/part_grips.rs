use super::drag::{Drag, keep_page_still};
use super::shapes::circle;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{self, KeyCommand, Scope};
use crate::app::logic::nudge::{Nudge, slide, tidy, tilt_about, turn_about};
use crate::app::logic::number::{plain, signed, signed_length};
use crate::app::logic::projection::{bearing, direction};
use crate::app::logic::svg_path::{d, polyline, translate};
use crate::app::workspace::{Workspace, workspace};
use kurbo::{Point, Vec2};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose, PoseFile, Vector3};
use nudgeproof::session::{Action, CellState};
use std::collections::BTreeMap;
use web_sys::{KeyboardEvent, PointerEvent};

/// The drag that slides the part, in steps of half a millimetre.
pub(super) fn slide_by_drag(
    workspace: Workspace,
    view: SheetView,
) -> impl Fn(Point, Point, Pose) + Copy + 'static {
    move |from, to, pose| {
        let by = view.layout.read_untracked().projection.plan.vector_back(to - from);
        let half = |mm: f64| (mm * 2.0).round() / 2.0;
        workspace.dragged.set(Some(slide(&pose, half(by.x), half(by.y))));
    }
}

/// Ends a drag: the part stays where it was dragged to.
pub(super) fn drop_part(workspace: Workspace) {
    let Some(pose) = workspace.dragged.get_untracked() else { return };
    workspace.dragged.set(None);
    let to = tidy(&pose);
    if to != tidy(&workspace.state_untracked().part_shown()) {
        place_part(workspace, to);
    }
}

/// Moves the part to another place, as an action of the learner, and gives notice of it. Bodies that
/// move by themselves stay where they are on it.
pub(crate) fn place_part(workspace: Workspace, to: Nudge) {
    place_part_and_bodies(workspace, to, BTreeMap::new());
}

/// The same, with the places of bodies that move by themselves, by name. Warns of hands in a cell that is
/// not locked out.
pub(crate) fn place_part_and_bodies(
    workspace: Workspace,
    to: Nudge,
    bodies: BTreeMap<String, PoseFile>,
) {
    let live = workspace.state_untracked().cell_state == CellState::Ready;
    let action = Action::PlacePart { part: to.file(), bodies };
    let Some(said) = placed(workspace, &to, vec![action]) else { return };
    if live {
        workspace.warn(format!("{said} {}", text(Key::HandsInLiveCell)));
    } else {
        workspace.notify(said);
    }
}

/// Moves the part and bodies on it with the cell locked out, and makes it ready again, as one gesture.
pub(crate) fn place_locked_out(
    workspace: Workspace,
    to: Nudge,
    bodies: BTreeMap<String, PoseFile>,
) {
    let action = Action::PlacePart { part: to.file(), bodies };
    let actions = workspace.state_untracked().by_hand([action]);
    if let Some(said) = placed(workspace, &to, actions) {
        workspace.notify(said);
    }
}

/// Does the actions that move the part: where it then lies, in words. `None` if they cannot be done.
fn placed(workspace: Workspace, to: &Nudge, actions: Vec<Action>) -> Option<String> {
    workspace.playback.set(None);
    if !workspace.act_all(actions) {
        return None;
    }
    let (dx, dy, turn) = (signed_length(to.dx, 1), signed_length(to.dy, 1), signed(to.turn_deg, 1));
    Some(if to.lifts() {
        let [tilt_x, tilt_y] = [to.tilt_x_deg, to.tilt_y_deg].map(|v| signed(v, 1));
        let dz = signed_length(to.dz, 1);
        format(Key::PartPlacedSix, &[&dx, &dy, &turn, &dz, &tilt_x, &tilt_y])
    } else {
        let inside = workspace.state_untracked().part.play.allows(&to.pose());
        let key = if inside { Key::PartPlaced } else { Key::PartPlacedOutside };
        format(key, &[&dx, &dy, &turn])
    })
}

/// The grip that slides the part and the one that turns it.
#[component]
pub(super) fn PartGrips() -> impl IntoView {
    view! {
        <SlideGrip />
        <TurnGrip />
    }
}

/// The point that the part is gripped at and turned about, part frame, mm.
fn grip_point(workspace: Workspace) -> Point3<f64> {
    Point3::from(workspace.part().play.about)
}

/// Step of an arrow key that slides or lifts the part, mm, and with Shift.
const SLIDE_STEPS: [f64; 2] = [1.0, 0.1];
/// Step of an arrow key that turns or tilts the part, degrees, and with Shift.
const TURN_STEPS: [f64; 2] = [0.5, 0.1];

fn step(event: &KeyboardEvent, [step, fine]: [f64; 2]) -> f64 {
    if event.shift_key() { fine } else { step }
}

#[component]
fn SlideGrip() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let at = move || view.projection().plan.point(&view.pose.get().point(&grip_point(workspace)));
    let label = move || {
        let n = Nudge::of(&view.pose.get());
        format(Key::SlideGrip, &[&signed_length(n.dx, 1), &signed_length(n.dy, 1)])
    };
    // Arrows slide the part; Page Up and Page Down lift and lower one that may do so.
    let by_key = move |event: KeyboardEvent| {
        let state = workspace.state_untracked();
        let (pose, step) = (state.part_shown(), step(&event, SLIDE_STEPS));
        let Some(KeyCommand::Move(axes)) = keys::command(Scope::SlideGrip, &event) else { return };
        let [x, y, z] = axes.map(|a| f64::from(a) * step);
        if z == 0.0 {
            place_part(workspace, tidy(&slide(&pose, x, y)));
        } else if state.part.play.dz != 0.0 {
            let lift = Pose::new(Vector3::z() * z, Vector3::zeros());
            place_part(workspace, tidy(&(lift * pose)));
        }
    };
    let listeners = Drag::<Pose>::new().listeners(
        move |_: &PointerEvent| Some(workspace.state_untracked().part_shown()),
        slide_by_drag(workspace, view),
        move |_| drop_part(workspace),
        move |_| workspace.dragged.set(None),
    );
    view! {
        <g
            class="grip slide-grip"
            data-testid="nudge-handle"
            tabindex="0"
            role="application"
            {..listeners}
            aria-label=label
            on:keydown=by_key
            on:touchstart=keep_page_still
        >
            {move || circle("target", at(), 22.0)}
            <path d=FOUR_ARROWS transform=move || translate(at()) />
        </g>
    }
}

/// Arrows up, right, down and left from the origin.
const FOUR_ARROWS: &str = "M0 0v-13m-3 4l3 -4l3 4m-3 9h13m-4 -3l4 3l-4 3m-9 -3v13m-3 -4l3 4l3 -4\
                           m-3 -9h-13m4 -3l-4 3l4 3";

/// Distance of the turning grip from the sliding grip, pixels.
const TURN_ARM: f64 = 62.0;

#[component]
fn TurnGrip() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let ends = Memo::new(move |_| {
        let pose = view.pose.get();
        let middle = view.projection().plan.point(&pose.point(&grip_point(workspace)));
        (middle, middle + direction(pose.rotation_vector().z) * TURN_ARM)
    });
    let arm = move || {
        let (middle, grip) = ends.get();
        d(&polyline([0.28, 0.82].map(|t| middle.lerp(grip, t))))
    };
    let turn_deg = move || Nudge::of(&view.pose.get()).turn_deg;
    // Arrows turn the part; Page Up and Page Down tilt one that may do so about X, Home and End
    // about Y.
    let by_key = move |event: KeyboardEvent| {
        let state = workspace.state_untracked();
        let (pose, step) = (state.part_shown(), step(&event, TURN_STEPS).to_radians());
        let axis = match keys::command(Scope::TurnGrip, &event) {
            Some(KeyCommand::Turn(sign)) => {
                let about = untrack(|| grip_point(workspace));
                let by = f64::from(sign) * step;
                return place_part(workspace, tidy(&turn_about(&pose, &about, by)));
            }
            Some(KeyCommand::TiltX(sign)) => Vector3::x() * f64::from(sign),
            Some(KeyCommand::TiltY(sign)) => Vector3::y() * f64::from(sign),
            _ => return,
        };
        if state.part.play.tilt_deg != 0.0 {
            let about = Point3::from(state.part.play.about);
            place_part(workspace, tidy(&tilt_about(&pose, &about, axis * step)));
        }
    };
    let follow = move |from: Point, to: Point, pose: Pose| {
        let about = untrack(|| grip_point(workspace));
        let middle = view.layout.read_untracked().projection.plan.point(&pose.point(&about));
        let by = bearing(to - middle) - bearing(from - middle);
        workspace.dragged.set(Some(tidy(&turn_about(&pose, &about, by)).pose()));
    };
    let listeners = Drag::<Pose>::new().listeners(
        move |_: &PointerEvent| Some(workspace.state_untracked().part_shown()),
        follow,
        move |_| drop_part(workspace),
        move |_| workspace.dragged.set(None),
    );
    view! {
        <g
            class="grip turn-grip"
            data-testid="turn-handle"
            tabindex="0"
            role="slider"
            {..listeners}
            aria-label=text(Key::TurnGrip)
            aria-valuemin="-180"
            aria-valuemax="180"
            aria-valuenow=move || format!("{:.1}", turn_deg())
            aria-valuetext=move || format(Key::Degrees, &[&plain(turn_deg(), 1)])
            on:keydown=by_key
            on:touchstart=keep_page_still
        >
            <path class="arm" d=arm />
            {move || circle("target", ends.get().1, 22.0)}
            <path
                d="M0 0a9 9 0 1 1 -6 -8m-4 -1l4.5 1l-2 4"
                transform=move || translate(ends.get().1 + Vec2::new(8.0, 2.0))
            />
        </g>
    }
}
