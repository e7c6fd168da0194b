use super::SheetView;
use crate::app::dom::{View, svg};
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::svg_path;
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{Body, Part};
use nudgeproof::geometry::{Point3, Pose};

/// Clamps and stops: they stay where they are.
pub(super) fn fixture_plan() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    svg("g").class("clamp").html(move || clamps(&workspace.part(), &view.projection()))
}

/// The middle of a clamp on the plan, where its name stands.
pub(super) fn clamp_spot(clamp: &Body, projection: &Projection) -> ScreenPoint {
    let corners = &clamp.outline.corners;
    let n = corners.len().max(1) as f64;
    let (x, y) = corners.iter().fold((0.0, 0.0), |(x, y), c| (x + c.at.x, y + c.at.y));
    projection.plan(&Point3::new(x / n, y / n, 0.0))
}

fn clamps(part: &Part, projection: &Projection) -> String {
    let mut m = SvgWriter::default();
    for clamp in &part.clamps {
        let mut s = clamp_spot(clamp, projection);
        s.y += 4.0;
        m.path("clamp-body", &svg_path::body_plan(clamp, &Pose::identity(), projection));
        m.label("label", s, &clamp.name, "middle");
    }
    m.finish()
}
