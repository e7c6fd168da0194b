use super::SheetView;
use super::crash_view::crash_side;
use super::point_side::{points_side, searches_side};
use super::way_view::Ways;
use crate::app::dom::{View, several, svg};
use crate::app::logic::layout::Layout;
use crate::app::logic::number::length;
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::shown::lowest;
use crate::app::logic::svg_path;
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::geometry::Pose;

/// Table, clamps, part and points from the front.
pub(super) fn elevation() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let still = move || {
        let mut m = SvgWriter::default();
        view.layout.with(|l| ladder(&mut m, l));
        let was = view.reference.get().unwrap_or_default();
        ghost(&mut m, &workspace.part(), &was, &view.pose.get(), &view.projection());
        solids(&mut m, &workspace.part(), &view.pose.get(), &view.projection());
        m.finish()
    };
    let ways = Ways {
        spot: Projection::side,
        gone: |_| "way",
        ahead: |_| "way to-come".to_owned(),
        test_id: "run-path-side",
    };
    several()
        .child(svg("g").class("side").html(still))
        .child(svg("g").class("side").child(ways.view()))
        .child(searches_side())
        .child(points_side())
        .child(crash_side())
}

fn ladder(m: &mut SvgWriter, l: &Layout) {
    let (p, r) = (l.projection, l.side);
    let table = p.side_xz(0.0, 0.0).y;
    m.path(
        "table",
        &svg_path::segment(ScreenPoint::new(r.x, table), ScreenPoint::new(r.right(), table)),
    );
    m.path("table-hatch", &format!("M{} {}h{}", r.x, table + 4.0, r.w));
    m.path("break", &break_line(r.x, r.right(), p.side_xz(0.0, p.break_height).y));
    for z in [0.0, 12.0, 24.0, p.break_height, 200.0] {
        let y = p.side_xz(0.0, z).y;
        m.path("ladder", &format!("M{} {y}h6", r.right() - 8.0));
        m.text("ladder-text", ScreenPoint::new(r.right() - 11.0, y + 3.5), &length(z, 0));
    }
}

fn solids(m: &mut SvgWriter, part: &Part, pose: &Pose, projection: &Projection) {
    for clamp in &part.clamps {
        m.path("clamp-body", &svg_path::body_side(clamp, &Pose::identity(), projection));
    }
    let lowest = lowest(part);
    for body in &part.bodies {
        let class = if body.z[0] > lowest { "body plate" } else { "body" };
        m.path(class, &svg_path::body_side(body, pose, projection));
    }
    for seam in &part.seams {
        let ends = [pose.point(&seam.from), pose.point(&seam.to)];
        m.path("seam", &svg_path::way_side(&ends, projection));
    }
}

/// The reference part, where it lies elsewhere than the part.
fn ghost(m: &mut SvgWriter, part: &Part, was: &Pose, pose: &Pose, projection: &Projection) {
    let moved = was.inverse() * *pose;
    if moved.translation().norm() > 1e-6 || moved.angle() > 1e-9 {
        m.open("ghost", &[]);
        for body in &part.bodies {
            m.path("", &svg_path::body_side(body, was, projection));
        }
        m.close();
    }
}

/// A thin line with zigzags (ISO 128): above it heights are drawn smaller.
fn break_line(from: f64, to: f64, y: f64) -> String {
    let mut d = format!("M{from} {y}");
    let step = 90.0;
    let mut x = from;
    while x + step < to {
        d.push_str("h40l3 -5l5 10l3 -5h39");
        x += step;
    }
    d + &format!("H{to}")
}
