//! The data of a path, arcs kept as arcs.

use crate::drawing::arc::Arc;
use crate::drawing::bezier::Bezier;
use crate::drawing::curve::Curve;
use kurbo::{Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment as S};

/// A stretch of a path from one `M` to the next, or to a `Z`.
#[derive(Debug, Default)]
pub(super) struct Subpath {
    pub(super) curves: Vec<Curve>,
    pub(super) closed: bool,
}

/// All stretches of a path.
///
/// # Errors
/// If it cannot be read to its end.
pub(super) fn subpaths(data: &str) -> Result<Vec<Subpath>, String> {
    let mut pen = Pen::default();
    for segment in PathParser::from(data) {
        pen.draw(segment.map_err(|e| format!("d: {e}"))?);
    }
    pen.lift();
    Ok(pen.done)
}

#[derive(Default)]
struct Pen {
    done: Vec<Subpath>,
    now: Subpath,
    at: Point,
    start: Point,
    /// The last control point, for a smooth curve after it, and whether that was a cubic.
    control: Option<(Point, bool)>,
}

impl Pen {
    fn lift(&mut self) {
        let now = std::mem::take(&mut self.now);
        if !now.curves.is_empty() {
            self.done.push(now);
        }
    }

    fn point(&self, abs: bool, x: f64, y: f64) -> Point {
        if abs { Point::new(x, y) } else { self.at + Vec2::new(x, y) }
    }

    fn line(&mut self, to: Point) {
        self.now.curves.push(Curve::Line(self.at, to));
        self.at = to;
        self.control = None;
    }

    fn bezier(&mut self, controls: &[Point], to: Point) {
        let points: Vec<Point> = [&[self.at], controls, &[to]].concat();
        self.now.curves.push(Curve::Bezier(Bezier::new(&points)));
        self.control = controls.last().map(|c| (*c, controls.len() == 2));
        self.at = to;
    }

    /// The control point that makes a curve go on smoothly after one of its own kind.
    fn smooth(&self, cubic: bool) -> Point {
        match self.control {
            Some((control, was)) if was == cubic => self.at + (self.at - control),
            _ => self.at,
        }
    }

    fn draw(&mut self, segment: S) {
        match segment {
            S::MoveTo { abs, x, y } => {
                self.lift();
                self.at = self.point(abs, x, y);
                self.start = self.at;
                self.control = None;
            }
            S::LineTo { abs, x, y } => self.line(self.point(abs, x, y)),
            S::HorizontalLineTo { abs, x } => {
                let x = if abs { x } else { self.at.x + x };
                self.line(Point::new(x, self.at.y));
            }
            S::VerticalLineTo { abs, y } => {
                let y = if abs { y } else { self.at.y + y };
                self.line(Point::new(self.at.x, y));
            }
            S::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let controls = [self.point(abs, x1, y1), self.point(abs, x2, y2)];
                self.bezier(&controls, self.point(abs, x, y));
            }
            S::SmoothCurveTo { abs, x2, y2, x, y } => {
                let controls = [self.smooth(true), self.point(abs, x2, y2)];
                self.bezier(&controls, self.point(abs, x, y));
            }
            S::Quadratic { abs, x1, y1, x, y } => {
                self.bezier(&[self.point(abs, x1, y1)], self.point(abs, x, y));
            }
            S::SmoothQuadratic { abs, x, y } => {
                self.bezier(&[self.smooth(false)], self.point(abs, x, y));
            }
            S::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let arc = SvgArc {
                    from: self.at,
                    to: self.point(abs, x, y),
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                self.arc(&arc);
            }
            S::ClosePath { .. } => {
                if self.at != self.start {
                    self.line(self.start);
                }
                self.now.closed = true;
                self.lift();
                self.at = self.start;
                self.control = None;
            }
        }
    }

    fn arc(&mut self, svg: &SvgArc) {
        // Beyond these numbers kurbo's formulas lose all digits; such an arc is a line, or none.
        let usable = |v: f64| v.abs() <= 1e9;
        let SvgArc { from, to, radii, .. } = svg;
        let numbers = [from.x, from.y, to.x, to.y, radii.x, radii.y];
        let apart = from.distance(*to) > 1e-9;
        let arc = (apart && numbers.into_iter().all(usable)).then(|| kurbo::Arc::from_svg_arc(svg));
        match arc.flatten() {
            Some(arc) => {
                let (sin, cos) = libm::sincos(arc.x_rotation);
                let (rx, ry) = (arc.radii.x, arc.radii.y);
                let axes = [Vec2::new(cos, sin) * rx, Vec2::new(-sin, cos) * ry];
                let arc = Arc::new(arc.center, axes, arc.start_angle, arc.sweep_angle);
                self.now.curves.push(Curve::Arc(arc));
                self.at = *to;
                self.control = None;
            }
            None => self.line(*to),
        }
    }
}
