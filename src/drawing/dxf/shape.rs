//! The curves of one entity, in the plane of the drawing or block that it stands in.

use crate::drawing::arc::Arc;
use crate::drawing::bezier::Bezier;
use crate::drawing::curve::Curve;
use crate::drawing::remark::Why;
use crate::drawing::spline::Spline;
use dxf::Vector;
use dxf::entities::{self, EntityType};
use kurbo::{Affine, Point, Vec2};
use std::f64::consts::{PI, TAU};

/// Steepest line that counts as level: it looks shorter by a half of a millionth.
const LEVEL: f64 = 1e-3;

/// Curves, and whether they are said to be closed.
pub(super) type Drawn = (Vec<Curve>, bool);

/// What an entity draws; `None` for one that places a block.
pub(super) fn drawn(entity: &EntityType) -> Option<Result<Drawn, Why>> {
    Some(match entity {
        EntityType::Line(line) => {
            let (a, b) = (&line.p1, &line.p2);
            level([(a.x, a.y, a.z), (b.x, b.y, b.z)].into_iter())
                .map(|()| (vec![Curve::Line(Point::new(a.x, a.y), Point::new(b.x, b.y))], false))
        }
        EntityType::LwPolyline(line) => plane(&line.extrusion_direction).map(|map| {
            let vertices = line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge));
            polyline(&vertices.collect::<Vec<_>>(), line.is_closed(), map)
        }),
        EntityType::Polyline(line) => vertices(line),
        EntityType::Circle(circle) => plane(&circle.normal).and_then(|map| {
            let centre = Point::new(circle.center.x, circle.center.y);
            let arc = Arc::circular(centre, positive(circle.radius)?, 0.0, TAU);
            Ok((vec![Curve::Arc(arc).mapped(map)], true))
        }),
        EntityType::Arc(arc) => plane(&arc.normal).and_then(|map| {
            let centre = Point::new(arc.center.x, arc.center.y);
            let [from, to] = [arc.start_angle, arc.end_angle].map(f64::to_radians);
            let whole = Arc::circular(centre, positive(arc.radius)?, from, sweep(from, to));
            Ok((vec![Curve::Arc(whole).mapped(map)], false))
        }),
        EntityType::Ellipse(ellipse) => ellipse_arc(ellipse),
        EntityType::Spline(spline) => bezier_curves(spline),
        _ => return None,
    })
}

/// From the plane that an entity is given in to that of the drawing: as it is, or seen from below.
pub(super) fn plane(normal: &Vector) -> Result<Affine, Why> {
    if normal.x.abs().max(normal.y.abs()) > 1e-6 * normal.z.abs() {
        return Err(Why::NotLevel);
    }
    // Its X axis is Y × normal (arbitrary axis algorithm), so it points backwards below.
    Ok(if normal.z < 0.0 { Affine::FLIP_X } else { Affine::IDENTITY })
}

/// Whether points lie level with each other.
fn level(points: impl Iterator<Item = (f64, f64, f64)>) -> Result<(), Why> {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for (x, y, z) in points {
        for (i, v) in [x, y, z].into_iter().enumerate() {
            low[i] = low[i].min(v);
            high[i] = high[i].max(v);
        }
    }
    let [wide, deep, tall] = std::array::from_fn(|i| high[i] - low[i]);
    // Of no points at all the sizes are minus infinity.
    if tall <= 0.0 || tall <= LEVEL * wide.max(deep) { Ok(()) } else { Err(Why::NotLevel) }
}

fn positive(radius: f64) -> Result<f64, Why> {
    if radius > 0.0 {
        Ok(radius)
    } else {
        Err(Why::Broken(format!("expected a positive radius, and found {radius}")))
    }
}

/// Counter-clockwise from one angle to another, a whole turn where they are the same.
fn sweep(from: f64, to: f64) -> f64 {
    let turn = (to - from).rem_euclid(TAU);
    if turn < 1e-12 || TAU - turn < 1e-12 { TAU } else { turn }
}

/// Straight lines and arcs from vertex to vertex; a bulge stands at the first of the two.
fn polyline(vertices: &[(Point, f64)], closed: bool, map: Affine) -> Drawn {
    let n = vertices.len();
    let pieces = if closed { n } else { n.saturating_sub(1) };
    let piece = |i: usize| {
        let ((from, bulge), (to, _)) = (vertices[i], vertices[(i + 1) % n]);
        let straight = bulge.abs() < 1e-9 || from == to;
        if straight { Curve::Line(from, to) } else { Curve::Arc(Arc::bulging(from, to, bulge)) }
    };
    ((0..pieces).map(|i| piece(i).mapped(map)).collect(), closed)
}

/// Of an older polyline, whose vertices are entities of their own.
fn vertices(line: &entities::Polyline) -> Result<Drawn, Why> {
    if line.is_3d_polygon_mesh() || line.is_polyface_mesh() {
        return Err(Why::Kind);
    }
    // The corners of the frame that a smooth line was drawn after are not on it.
    let on_it = || line.vertices().filter(|v| !v.is_spline_frame_control_point());
    let map = if line.is_3d_polyline() {
        level(on_it().map(|v| (v.location.x, v.location.y, v.location.z)))?;
        Affine::IDENTITY
    } else {
        plane(&line.normal)?
    };
    let flat = on_it().map(|v| (Point::new(v.location.x, v.location.y), v.bulge));
    Ok(polyline(&flat.collect::<Vec<_>>(), line.is_closed(), map))
}

fn ellipse_arc(ellipse: &entities::Ellipse) -> Result<Drawn, Why> {
    let down = plane(&ellipse.normal)? == Affine::FLIP_X;
    let (major, ratio) = (&ellipse.major_axis, positive(ellipse.minor_axis_ratio)?);
    level([(0.0, 0.0, 0.0), (major.x, major.y, major.z)].into_iter())?;
    let u = Vec2::new(major.x, major.y);
    // The minor axis is normal × major axis.
    let v = Vec2::new(-u.y, u.x) * if down { -ratio } else { ratio };
    let [from, to] = [ellipse.start_parameter, ellipse.end_parameter];
    let turn = sweep(from, to);
    let centre = Point::new(ellipse.center.x, ellipse.center.y);
    let whole = turn > TAU - 1e-6;
    let arc = Arc::new(centre, [u, v], from, if whole { TAU } else { turn });
    Ok((vec![Curve::Arc(arc)], whole))
}

fn bezier_curves(spline: &entities::Spline) -> Result<Drawn, Why> {
    let points = &spline.control_points;
    if points.is_empty() && !spline.fit_points.is_empty() {
        return Err(Why::FitPoints);
    }
    level(points.iter().map(|p| (p.x, p.y, p.z)))?;
    let read = Spline {
        degree: usize::try_from(spline.degree_of_curve).unwrap_or(0),
        knots: &spline.knot_values,
        points: points.iter().map(|p| Point::new(p.x, p.y)).collect(),
        weights: &spline.weight_values,
    };
    let curves: Vec<Bezier> = read.curves().map_err(Why::Broken)?;
    Ok((curves.into_iter().map(Curve::Bezier).collect(), false))
}

/// What an `INSERT` does to the block that it places, once for each column and row.
pub(super) fn placings(
    insert: &entities::Insert,
    base: Vec2,
) -> Result<impl Iterator<Item = Affine>, Why> {
    let map = plane(&insert.extrusion_direction)?;
    let at = Vec2::new(insert.location.x, insert.location.y);
    let turned = map * Affine::translate(at) * Affine::rotate(insert.rotation * PI / 180.0);
    let scaled = Affine::scale_non_uniform(insert.x_scale_factor, insert.y_scale_factor)
        * Affine::translate(-base);
    let [columns, rows] = [insert.column_count, insert.row_count].map(|n| n.max(1));
    let (dx, dy) = (insert.column_spacing, insert.row_spacing);
    Ok((0..rows).flat_map(move |row| {
        (0..columns).map(move |column| {
            let step = Vec2::new(dx * f64::from(column), dy * f64::from(row));
            turned * Affine::translate(step) * scaled
        })
    }))
}
