//! The curves of one element, in its own coordinates.

use super::length::{Along, Viewport, length};
use super::path_data::{Subpath, subpaths};
use crate::drawing::arc::Arc;
use crate::drawing::curve::Curve;
use kurbo::{Point, Vec2};
use roxmltree::Node;
use std::f64::consts::{FRAC_PI_2, PI, TAU};
use svgtypes::NumberListParser;

/// What an element draws; `None` if it is no shape.
pub(super) fn shape(node: Node, viewport: Viewport) -> Option<Result<Vec<Subpath>, String>> {
    let ruler = Ruler { node, viewport };
    Some(match node.tag_name().name() {
        "path" => subpaths(node.attribute("d").unwrap_or_default()),
        "rect" => ruler.rectangle(),
        "circle" => ruler.circle(),
        "ellipse" => ruler.ellipse(),
        "line" => ruler.line(),
        "polyline" => points(node).map(|points| vec![lines(&points, false)]),
        "polygon" => points(node).map(|points| vec![lines(&points, true)]),
        _ => return None,
    })
}

struct Ruler<'a, 'input> {
    node: Node<'a, 'input>,
    viewport: Viewport,
}

impl Ruler<'_, '_> {
    fn length(&self, name: &str, along: Along) -> Result<f64, String> {
        Ok(length(self.node, name, along, self.viewport)?.unwrap_or(0.0))
    }

    /// A length that is not negative; `None` where nothing is said.
    fn size(&self, name: &str, along: Along) -> Result<Option<f64>, String> {
        match length(self.node, name, along, self.viewport)? {
            Some(size) if size < 0.0 => Err(format!("{name}: expected no negative length")),
            size => Ok(size),
        }
    }

    fn point(&self, x: &str, y: &str) -> Result<Point, String> {
        Ok(Point::new(self.length(x, Along::X)?, self.length(y, Along::Y)?))
    }

    fn line(&self) -> Result<Vec<Subpath>, String> {
        let (from, to) = (self.point("x1", "y1")?, self.point("x2", "y2")?);
        Ok(vec![lines(&[from, to], false)])
    }

    fn circle(&self) -> Result<Vec<Subpath>, String> {
        let r = self.size("r", Along::Both)?.unwrap_or(0.0);
        Ok(vec![whole_ellipse(self.point("cx", "cy")?, r, r)])
    }

    fn ellipse(&self) -> Result<Vec<Subpath>, String> {
        let (rx, ry) = self.radii()?;
        Ok(vec![whole_ellipse(self.point("cx", "cy")?, rx, ry)])
    }

    /// Both radii; one that is left out is as great as the other (SVG 2, section 10.4).
    fn radii(&self) -> Result<(f64, f64), String> {
        let (rx, ry) = (self.size("rx", Along::X)?, self.size("ry", Along::Y)?);
        Ok((rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0)))
    }

    fn rectangle(&self) -> Result<Vec<Subpath>, String> {
        let at = self.point("x", "y")?;
        let w = self.size("width", Along::X)?.unwrap_or(0.0);
        let h = self.size("height", Along::Y)?.unwrap_or(0.0);
        // Nothing is drawn of a rectangle without width or height.
        if w == 0.0 || h == 0.0 {
            return Ok(vec![]);
        }
        let (rx, ry) = self.radii()?;
        let (rx, ry) = (rx.min(w / 2.0), ry.min(h / 2.0));
        let corner = |x: f64, y: f64| at + Vec2::new(x, y);
        if rx == 0.0 || ry == 0.0 {
            let corners = [corner(0.0, 0.0), corner(w, 0.0), corner(w, h), corner(0.0, h)];
            return Ok(vec![lines(&corners, true)]);
        }
        let round = |x: f64, y: f64, start: f64| {
            let axes = [Vec2::new(rx, 0.0), Vec2::new(0.0, ry)];
            Curve::Arc(Arc::new(corner(x, y), axes, start, FRAC_PI_2))
        };
        let curves = vec![
            Curve::Line(corner(rx, 0.0), corner(w - rx, 0.0)),
            round(w - rx, ry, -FRAC_PI_2),
            Curve::Line(corner(w, ry), corner(w, h - ry)),
            round(w - rx, h - ry, 0.0),
            Curve::Line(corner(w - rx, h), corner(rx, h)),
            round(rx, h - ry, FRAC_PI_2),
            Curve::Line(corner(0.0, h - ry), corner(0.0, ry)),
            round(rx, ry, PI),
        ];
        Ok(vec![Subpath { curves, closed: true }])
    }
}

fn whole_ellipse(centre: Point, rx: f64, ry: f64) -> Subpath {
    let axes = [Vec2::new(rx, 0.0), Vec2::new(0.0, ry)];
    let drawn = rx > 0.0 && ry > 0.0;
    let arc = || Curve::Arc(Arc::new(centre, axes, 0.0, TAU));
    Subpath { curves: drawn.then(arc).into_iter().collect(), closed: true }
}

fn lines(points: &[Point], closed: bool) -> Subpath {
    let mut curves: Vec<Curve> = points.windows(2).map(|p| Curve::Line(p[0], p[1])).collect();
    if let (true, [first, .., last]) = (closed, points) {
        curves.push(Curve::Line(*last, *first));
    }
    Subpath { curves, closed }
}

fn points(node: Node) -> Result<Vec<Point>, String> {
    let numbers = NumberListParser::from(node.attribute("points").unwrap_or_default());
    let numbers: Vec<f64> =
        numbers.collect::<Result<_, _>>().map_err(|e| format!("points: {e}"))?;
    let (pairs, rest) = numbers.as_chunks::<2>();
    if rest.is_empty() {
        Ok(pairs.iter().map(|p| Point::new(p[0], p[1])).collect())
    } else {
        Err(format!("points: expected an even count of numbers, and found {}", numbers.len()))
    }
}
