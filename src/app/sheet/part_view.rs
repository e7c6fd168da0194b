use super::SheetView;
use super::grip::{Grip, arrow};
use crate::app::dom::{View, several, svg};
use crate::app::i18n::{Key, format};
use crate::app::logic::nudge::{Nudge, slide, tidy, tilt_about, turn_about};
use crate::app::logic::number::{plain, signed, signed_length};
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::logic::{shown, svg_path};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::session::Action;

/// The part as it lies, the ghost of the reference part, the seam and the datum corner.
pub(super) fn part_plan() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let ghost = Memo::new(move |_| {
        let was = view.reference.get().unwrap_or_default();
        let off = was.inverse() * view.pose.get();
        (off.translation().norm() > 1e-6 || off.angle() > 1e-9).then_some(was)
    });
    let grip = Grip::<Pose>::new(view);
    let ghost_lines = move || {
        let mut m = SvgWriter::default();
        if let Some(pose) = ghost.get() {
            for body in &workspace.part().bodies {
                m.path("", &svg_path::body_plan(body, &pose, &view.projection()));
            }
        }
        m.finish()
    };
    let part = svg("g")
        .class("part")
        .test_id("part")
        .class_if("held", move || grip.holds())
        .html(move || solids(&workspace.part(), &view.pose.get(), &view.projection()))
        .on("pointerdown", move |event: web_sys::PointerEvent| {
            // A finger on the part scrolls the page; its grip in the middle moves it.
            if event.pointer_type() == "mouse" {
                grip.press(&event, workspace.state_untracked().part_shown());
            }
        });
    several()
        .child(
            svg("g")
                .class("ghost")
                .test_id("ghost")
                .attr("data-shown", move || ghost.get().is_some().to_string())
                .html(ghost_lines),
        )
        .child(grip.moves(part, slides(view), |_| commit(), move |_| workspace.dragged.set(None)))
}

/// What a drag does that slides the part.
fn slides(view: SheetView) -> impl Fn(ScreenPoint, ScreenPoint, Pose) {
    let workspace = workspace();
    move |from, to, pose| {
        let scale = view.layout.read_untracked().projection.scale;
        workspace.dragged.set(Some(slid(&pose, from, to, scale)));
    }
}

/// Bodies, seams and the datum corner.
pub(crate) fn solids(part: &Part, pose: &Pose, projection: &Projection) -> String {
    let mut m = SvgWriter::default();
    let lowest = shown::lowest(part);
    for body in &part.bodies {
        let class = if body.z[0] > lowest { "body plate" } else { "body" };
        let lean = svg_path::body_lean(body, pose, projection);
        if !lean.is_empty() {
            m.path("lean", &lean);
        }
        m.path(class, &svg_path::body_plan(body, pose, projection));
    }
    for seam in &part.seams {
        let d = svg_path::way_plan(&[pose.point(&seam.from), pose.point(&seam.to)], projection);
        m.path("seam-ticks", &d).path("seam", &d);
    }
    let o = projection.plan(&pose.point(&Point3::origin()));
    m.path("datum", &format!("M{:.2} {:.2}l-9 4v-8z", o.x, o.y)).circle("datum", o, 2.5);
    m.finish()
}

/// The pose after dragging from one place on the sheet to another, in half millimetres.
fn slid(pose: &Pose, from: ScreenPoint, to: ScreenPoint, scale: f64) -> Pose {
    let half = |px: f64| (px / scale * 2.0).round() / 2.0;
    slide(pose, half(to.x - from.x), half(from.y - to.y))
}

/// Puts the part where it was dragged to.
fn commit() {
    let workspace = workspace();
    let Some(pose) = workspace.dragged.get_untracked() else { return };
    workspace.dragged.set(None);
    let to = tidy(&pose);
    if to != tidy(&workspace.state_untracked().part_shown()) {
        place(workspace, to);
    }
}

/// Puts the part somewhere and says so.
pub(crate) fn place(workspace: Workspace, to: Nudge) {
    workspace.playback.set(None);
    if !workspace.act(Action::PlacePart { part: to.file() }) {
        return;
    }
    let (dx, dy, turn) = (signed_length(to.dx, 1), signed_length(to.dy, 1), signed(to.turn_deg, 1));
    if to.lifts() {
        let tilts = [to.tilt_x_deg, to.tilt_y_deg].map(|v| signed(v, 1));
        let more = [signed_length(to.dz, 1), tilts[0].clone(), tilts[1].clone()];
        workspace
            .notify(format(Key::PartPlacedSix, &[&dx, &dy, &turn, &more[0], &more[1], &more[2]]));
        return;
    }
    let inside = workspace.state_untracked().part.play.allows(&to.pose());
    let word = if inside { Key::PartPlaced } else { Key::PartPlacedOutside };
    workspace.notify(format(word, &[&dx, &dy, &turn]));
}

/// Page Up and Page Down on the sliding grip lift and lower a part that may do so.
fn lift_key(event: &web_sys::KeyboardEvent) -> bool {
    let (workspace, step) = (workspace(), if event.shift_key() { 0.1 } else { 1.0 });
    let by = match event.key().as_str() {
        "PageUp" => step,
        "PageDown" => -step,
        _ => return false,
    };
    event.prevent_default();
    if workspace.state_untracked().part.play.dz != 0.0 {
        place(
            workspace,
            tidy(
                &(Pose::new(Vector3::z() * by, Vector3::zeros())
                    * workspace.state_untracked().part_shown()),
            ),
        );
    }
    true
}

/// Page Up and Page Down on the turning grip tilt a part that may do so about X, Home and End
/// about Y.
fn tilt_key(event: &web_sys::KeyboardEvent) -> bool {
    let (workspace, step) = (workspace(), if event.shift_key() { 0.1_f64 } else { 0.5 });
    let axis = match event.key().as_str() {
        "PageUp" => Vector3::x(),
        "PageDown" => -Vector3::x(),
        "Home" => Vector3::y(),
        "End" => -Vector3::y(),
        _ => return false,
    };
    event.prevent_default();
    let (play, pose) =
        (workspace.state_untracked().part.play, workspace.state_untracked().part_shown());
    if play.tilt_deg != 0.0 {
        place(
            workspace,
            tidy(&tilt_about(&pose, &Point3::from(play.about), axis * step.to_radians())),
        );
    }
    true
}

/// How far out from the middle of the part its turn grip stands, pixels.
const TURN_ARM: f64 = 62.0;

/// The two grips of the part: one slides it, one turns it.
pub(super) fn part_grips() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let about = move || Point3::from(workspace.part().play.about);
    let middle = move || view.layout.read().projection.plan(&view.pose.get().point(&about()));
    let turn_spot = move || {
        let (m, angle) = (middle(), view.pose.get().rotation_vector().z);
        ScreenPoint::new(m.x + TURN_ARM * angle.cos(), m.y - TURN_ARM * angle.sin())
    };
    let slide_grip = Grip::<Pose>::new(view);
    let turn_grip = Grip::<Pose>::new(view);
    let told = move || {
        let n = Nudge::of(&view.pose.get());
        (signed_length(n.dx, 1), signed_length(n.dy, 1), n.turn_deg)
    };
    let drop_it = move || {
        slide_grip.release();
        turn_grip.release();
        workspace.dragged.set(None);
    };
    let slide_key = move |event: web_sys::KeyboardEvent| {
        if event.key() == "Escape" {
            drop_it();
        }
        if lift_key(&event) {
            return;
        }
        let Some((x, y)) = arrow(&event) else { return };
        event.prevent_default();
        let step = if event.shift_key() { 0.1 } else { 1.0 };
        place(
            workspace,
            tidy(&slide(&workspace.state_untracked().part_shown(), x * step, y * step)),
        );
    };
    let turn_key = move |event: web_sys::KeyboardEvent| {
        if event.key() == "Escape" {
            drop_it();
        }
        if tilt_key(&event) {
            return;
        }
        let Some((x, y)) = arrow(&event) else { return };
        event.prevent_default();
        let step = if event.shift_key() { 0.1_f64 } else { 0.5 };
        let by = (y - x) * step;
        place(
            workspace,
            tidy(&turn_about(&workspace.state_untracked().part_shown(), &about(), by.to_radians())),
        );
    };
    let slide_sign = move || {
        let (m, mut out) = (middle(), SvgWriter::default());
        let arms = "v-13m-3 4l3 -4l3 4m-3 9h13m-4 -3l4 3l-4 3m-9 -3v13m-3 -4l3 4l3 -4m-3 -9h-13m4 -3l-4 3l4 3";
        out.circle("target", m, 22.0).path("", &format!("M{:.2} {:.2}{arms}", m.x, m.y));
        out.finish()
    };
    let turn_sign = move || {
        let (m, s, mut out) = (middle(), turn_spot(), SvgWriter::default());
        let arrow = format!("M{:.2} {:.2}a9 9 0 1 1 -6 -8m-4 -1l4.5 1l-2 4", s.x + 8.0, s.y + 2.0);
        out.path("arm", &svg_path::segment(m.towards(s, 0.28), m.towards(s, 0.82)));
        out.circle("target", s, 22.0).path("", &arrow);
        out.finish()
    };
    let turns = move |from: ScreenPoint, to: ScreenPoint, pose: Pose| {
        let c = view.layout.read_untracked().projection.plan(&pose.point(&about()));
        let bearing = |s: ScreenPoint| (c.y - s.y).atan2(s.x - c.x);
        let by = bearing(to) - bearing(from);
        workspace.dragged.set(Some(tidy(&turn_about(&pose, &about(), by)).pose()));
    };
    let grip = |grip: Grip<Pose>, class: &'static str, test_id: &'static str| {
        svg("g").class(class).test_id(test_id).attr("tabindex", "0").on(
            "pointerdown",
            move |event: web_sys::PointerEvent| {
                grip.press(&event, workspace.state_untracked().part_shown());
            },
        )
    };
    let slider = grip(slide_grip, "grip slide-grip", "nudge-handle")
        .html(slide_sign)
        .attr("role", "application")
        .attr("aria-label", move || {
            let (x, y, _) = told();
            format(Key::SlideGrip, &[&x, &y])
        })
        .on("keydown", slide_key);
    let turner = grip(turn_grip, "grip turn-grip", "turn-handle")
        .html(turn_sign)
        .attr("role", "slider")
        .attr("aria-label", Key::TurnGrip)
        .attr("aria-valuemin", "-180")
        .attr("aria-valuemax", "180")
        .attr("aria-valuenow", move || format!("{:.1}", told().2))
        .attr("aria-valuetext", move || format(Key::Degrees, &[&plain(told().2, 1)]))
        .on("keydown", turn_key);
    let back = move |_: Pose| workspace.dragged.set(None);
    several()
        .child(slide_grip.moves(slider, slides(view), |_| commit(), back))
        .child(turn_grip.moves(turner, turns, |_| commit(), back))
}
