//! Where the part was believed to lie, and by how much it lies elsewhere, once that is revealed.

use super::contact_view::Touches;
use super::find_view::{WIDER, origin};
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::number::{signed, signed_length};
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::run_marks::free_line;
use crate::app::logic::svg_path::{body_plan, d};
use crate::app::presenter::reveal_scene;
use crate::app::workspace::workspace;
use kurbo::{Line, Point, Rect, Shape, Size, Vec2};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};

/// How the drawing of a part in one place comes from that in another: a turn about a point, degrees
/// clockwise on screen, and a shift, pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Start {
    pub(super) about: Point,
    pub(super) shift: Vec2,
    pub(super) turn_deg: f64,
}

/// From where the part lies to where it was believed to lie, on the plan.
pub(super) fn start([believed, lies]: [Pose; 2], plan: &PlanProjection) -> Start {
    let origin = Point3::origin();
    let [from, to] = [believed, lies].map(|pose| plan.point(&pose.point(&origin)));
    // The plan's Y is up, the screen's is down.
    let turn_deg = (believed * lies.inverse()).rotation_vector().z.to_degrees();
    Start { about: to, shift: from - to, turn_deg: -turn_deg }
}

/// The outline as it was believed, and the arrow to where it is.
#[component]
pub(super) fn RevealOnPlan(touches: Touches) -> impl IntoView {
    let (workspace, scene) = (workspace(), reveal_scene());
    let view = expect_context::<SheetView>();
    let moved = Memo::new(move |_| scene.revealed.with(|r| r.as_ref()?.moved));
    let drawing = move || {
        let [believed, lies] = moved.get()?;
        let (part, layout) = (workspace.part(), view.layout.read());
        let plan = &layout.projection.plan;
        let outline =
            |body| view! { <path class="reference" d=d(&body_plan(body, &believed, plan)) /> };
        let offset = lies * believed.inverse();
        let [from, to] = origin(&believed, &offset).map(|p| plan.point(&p));
        let [before, after] = origin(&believed, &offset);
        let [x, y] = [after.x - before.x, after.y - before.y].map(|v| signed_length(v, 1));
        let turn = signed(offset.rotation_vector().z.to_degrees(), 1);
        let says = format(Key::RevealedBy, &[&x, &y, &turn]);
        let bodies = part.bodies.iter().map(|b| body_plan(b, &lies, plan).bounding_box());
        let all = bodies.reduce(|a: Rect, b| a.union(b)).unwrap_or_default();
        // On a small plan there is no room for it, and the card says where the part lies.
        let narrow = layout.narrow();
        let size = Size::new(says.chars().count() as f64, 2.0) * (layout.letter * WIDER);
        let at = free_line(&all, size, &touches.taken());
        Some(view! {
            {part.bodies.iter().map(outline).collect_view()}
            <path class="offset" pathLength="1" d=d(&Line::new(from, to)) />
            <path class="offset-head" d=d(&arrow_head(from, to, 8.0)) />
            {(!narrow).then(|| label("label", at, "middle", says))}
        })
    };
    view! {
        <Show when=move || moved.read().is_some()>
            <g class="find reveal" data-testid="reveal-scene">{drawing}</g>
        </Show>
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::Point2;

    #[test]
    fn the_drawing_begins_where_the_part_was_believed() {
        let plan = PlanProjection::new(2.0, Point2::new(10.0, 20.0), Point::new(300.0, 200.0));
        let [believed, lies] = [Pose::planar(3.0, -1.0, 0.02), Pose::planar(9.0, 4.0, 0.07)];
        let start = start([believed, lies], &plan);
        for corner in
            [Point3::origin(), Point3::new(300.0, 0.0, 0.0), Point3::new(40.0, 160.0, 0.0)]
        {
            let [from, to] = [believed, lies].map(|pose| plan.point(&pose.point(&corner)));
            let arm = to - start.about;
            let (sin, cos) = start.turn_deg.to_radians().sin_cos();
            let turned = Vec2::new(cos * arm.x - sin * arm.y, sin * arm.x + cos * arm.y);
            let drawn = start.about + start.shift + turned;
            assert!((drawn - from).hypot() < 1e-6, "{corner}: {drawn:?}, and not {from:?}");
        }
    }
}
