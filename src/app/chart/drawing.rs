use crate::app::logic::dimension::arrow_head;
use crate::app::logic::forecast::{Block, EndSpread, SIGMAS};
use crate::app::logic::number::{unit, unit_mm};
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::scale;
use crate::app::logic::svg_path;
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::sheet::solids;
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Pose};

/// Width of the drawing in its own units; it is stretched to the room it is given.
pub(crate) const WIDTH: f64 = 640.0;
/// Spreads are drawn this much larger than the part.
pub(crate) const MAGNIFIED: f64 = 20.0;

/// A plan of the part with its numbered touches and, where it can be forecast, the spread at both
/// ends of the weld. Gives the drawing and its height.
pub(crate) fn plan(
    part: &Part,
    pose: &Pose,
    blocks: &[Block],
    spread: &[EndSpread],
) -> (String, f64) {
    let ([left, right], [low, high]) = extent(part, pose, blocks);
    let px = WIDTH / (right - left);
    // Under the plan there is room for the scale.
    let height = (high - low) * px + 26.0;
    let projection = Projection {
        scale: px,
        x_zero: -left * px,
        y_zero: high * px,
        z_zero: 0.0,
        z_low: 1.0,
        z_high: 1.0,
        break_height: 0.0,
    };
    let mut n = 0;
    let mut over = SvgWriter::default();
    for t in blocks.iter().flat_map(|b| &b.touches) {
        n += 1;
        let (from, to) = (projection.plan(&t.from), projection.plan(&t.contact.unwrap_or(t.from)));
        over.path("point", &svg_path::cross(from, 4.0));
        if from.distance(to) > 1.0 {
            over.path("search", &svg_path::segment(from, to));
            over.path("search-head", &svg_path::line(&arrow_head(from, to, 7.0), true));
        }
        let away =
            ScreenPoint::new(from.x - 19.0 * t.direction.x, from.y + 19.0 * t.direction.y + 7.0);
        over.label("label number", away, &n.to_string(), "middle");
    }
    for end in spread {
        spot(&mut over, projection.plan(&end.at), end, px);
    }
    let per_unit = px * unit_mm();
    let long = scale::bar(per_unit, 110.0);
    let (x, y) = (WIDTH - long * per_unit - 8.0, height - 8.0);
    over.path("", &format!("M{x} {}v6h{}v-6", y - 6.0, long * per_unit));
    over.label("", ScreenPoint::new(x - 6.0, y), &format!("{long} {}", unit()), "end");
    let mut fixture = SvgWriter::default();
    for clamp in &part.clamps {
        fixture.path("clamp-body", &svg_path::body_plan(clamp, &Pose::identity(), &projection));
    }
    ([fixture.finish(), solids(part, pose, &projection), over.finish()].concat(), height)
}

/// What of the plan is drawn, mm: the part and where its touches start, with room for their numbers.
fn extent(part: &Part, pose: &Pose, blocks: &[Block]) -> ([f64; 2], [f64; 2]) {
    const ROOM: f64 = 26.0;
    let corners = part.bodies.iter().flat_map(|b| &b.outline.corners);
    let corners = corners.map(|c| pose.point(&Point3::new(c.at.x, c.at.y, 0.0)));
    let (mut x, mut y) = ([f64::MAX, f64::MIN], [f64::MAX, f64::MIN]);
    for p in corners.chain(blocks.iter().flat_map(|b| &b.touches).map(|t| t.from)) {
        x = [x[0].min(p.x - ROOM), x[1].max(p.x + ROOM)];
        y = [y[0].min(p.y - ROOM), y[1].max(p.y + ROOM)];
    }
    (x, y)
}

/// One end's ellipse of three standard deviations, magnified.
fn spot(m: &mut SvgWriter, at: ScreenPoint, end: &EndSpread, px: f64) {
    let [a, b, angle] = end.ellipse;
    let [a, b] = [a, b].map(|v| (v * SIGMAS * MAGNIFIED * px).max(1.0));
    let turned = format!(
        "M{} {}a{a} {b} {} 1 0 {} {}a{a} {b} {} 1 0 {} {}z",
        at.x - a * angle.cos(),
        at.y + a * angle.sin(),
        -angle.to_degrees(),
        2.0 * a * angle.cos(),
        -2.0 * a * angle.sin(),
        -angle.to_degrees(),
        -2.0 * a * angle.cos(),
        2.0 * a * angle.sin()
    );
    m.path("spread", &turned).path("point", &svg_path::cross(at, 4.0));
}
