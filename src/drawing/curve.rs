use super::arc::Arc;
use super::bezier::Bezier;
use super::remark::Element;
use kurbo::{Affine, Point};

/// A piece of an outline, as the drawing has it.
#[derive(Debug, Clone, PartialEq)]
pub enum Curve {
    /// Straight.
    Line(Point, Point),
    /// Of a circle or an ellipse.
    Arc(Arc),
    /// Of a spline.
    Bezier(Bezier),
}

impl Curve {
    /// Where it begins.
    pub fn start(&self) -> Point {
        match self {
            Self::Line(from, _) => *from,
            Self::Arc(arc) => arc.from(),
            Self::Bezier(bezier) => bezier.start(),
        }
    }

    /// Where it ends.
    pub fn end(&self) -> Point {
        match self {
            Self::Line(_, to) => *to,
            Self::Arc(arc) => arc.to(),
            Self::Bezier(bezier) => bezier.end(),
        }
    }

    /// The same, from its end to its start.
    pub(super) fn reversed(&self) -> Self {
        match self {
            Self::Line(from, to) => Self::Line(*to, *from),
            Self::Arc(arc) => Self::Arc(arc.reversed()),
            Self::Bezier(bezier) => Self::Bezier(bezier.reversed()),
        }
    }

    /// The same, seen through a map of the plane.
    pub(super) fn mapped(&self, map: Affine) -> Self {
        match self {
            Self::Line(from, to) => Self::Line(map * *from, map * *to),
            Self::Arc(arc) => Self::Arc(arc.mapped(map)),
            Self::Bezier(bezier) => Self::Bezier(bezier.mapped(map)),
        }
    }

    /// Points whose box holds it.
    pub(super) fn hull(&self) -> Vec<Point> {
        match self {
            Self::Line(from, to) => vec![*from, *to],
            Self::Arc(arc) => arc.hull().to_vec(),
            Self::Bezier(bezier) => bezier.hull().collect(),
        }
    }

    /// Adds the ends of chords that are nowhere farther from it than `tolerance`; its start is left out.
    pub(super) fn flatten(&self, tolerance: f64, points: &mut Vec<Point>) {
        match self {
            Self::Line(_, to) => points.push(*to),
            Self::Arc(arc) => arc.flatten(tolerance, points),
            Self::Bezier(bezier) => bezier.flatten(tolerance, points),
        }
    }
}

/// Curves that follow each other, as one element of a drawing has them.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// One at least.
    pub curves: Vec<Curve>,
    /// Whether the element itself says that it is closed.
    pub closed: bool,
    /// The element.
    pub element: Element,
}

impl Path {
    /// Where it begins.
    pub fn start(&self) -> Point {
        self.curves[0].start()
    }

    /// Where it ends.
    pub fn end(&self) -> Point {
        self.curves[self.curves.len() - 1].end()
    }
}
