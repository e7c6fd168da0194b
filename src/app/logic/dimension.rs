use kurbo::{Line, Point, Triangle, Vec2};

/// A dimension line (ISO 129-1): two witness lines, a line with arrow heads between them, a number
/// that stands clear of what it measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Dimension {
    /// Witness lines, from just off the measured point to just past the dimension line.
    pub(crate) witness: [Line; 2],
    /// The dimension line. It runs on outside both heads where there is no room between them.
    pub(crate) shaft: Line,
    pub(crate) heads: [Triangle; 2],
    /// Where the number stands.
    pub(crate) text: Point,
}

/// Gap between the measured point and its witness line, pixels.
const GAP: f64 = 3.0;
/// How far a witness line runs past the dimension line, pixels.
const PAST: f64 = 4.0;
/// Shorter than this the arrows stand outside, pixels.
const TIGHT: f64 = 22.0;
/// Length of an arrow that stands outside, pixels.
const ARROW: f64 = 10.0;
/// Length of an arrow head, pixels.
const HEAD: f64 = 6.0;
/// Shorter dimensions are not drawn, pixels.
const LEAST: f64 = 0.5;

impl Dimension {
    /// Measures from `a` to `b` along X (`vertical` false) or along Y, on a line at `level`
    /// (its y, or its x). `None` if the two are hardly apart.
    pub(crate) fn new(a: Point, b: Point, level: f64, vertical: bool) -> Option<Self> {
        let on = |s: Point| if vertical { Point::new(level, s.y) } else { Point::new(s.x, level) };
        let line = Line::new(on(a), on(b));
        if line.length() <= LEAST {
            return None;
        }
        let shaft = if line.length() < TIGHT {
            let out = (line.p1 - line.p0).normalize() * ARROW;
            Line::new(line.p0 - out, line.p1 + out)
        } else {
            line.reversed()
        };
        let beside = if vertical { Vec2::new(5.0, 0.0) } else { Vec2::new(0.0, -5.0) };
        Some(Self {
            witness: [witness(a, line.p0), witness(b, line.p1)],
            shaft,
            heads: [arrow_head(shaft.p0, line.p0, HEAD), arrow_head(shaft.p1, line.p1, HEAD)],
            text: line.midpoint() + beside,
        })
    }
}

fn witness(from: Point, to: Point) -> Line {
    let distance = from.distance(to);
    if distance < GAP {
        return Line::new(to, to);
    }
    Line::new(from.lerp(to, GAP / distance), from.lerp(to, (distance + PAST) / distance))
}

/// An arrow head with its tip first, pointing away from `from`.
pub(crate) fn arrow_head(from: Point, tip: Point, length: f64) -> Triangle {
    let along = (tip - from) / from.distance(tip).max(1e-9) * length;
    let (base, half) = (tip - along, along.turn_90() * 0.3);
    Triangle::new(tip, base + half, base - half)
}

/// A magnification that shows a distance of `mm` well inside a circle of `radius` pixels: a whole
/// multiple of the sheet's scale, at most 20 times.
pub(crate) fn magnification(mm: f64, radius: f64, px_per_mm: f64) -> f64 {
    const STEPS: [f64; 10] = [20.0, 15.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0];
    let fits = |m: &f64| mm * px_per_mm * m <= radius * 0.78;
    STEPS.iter().copied().find(|m| fits(m)).unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dimension_keeps_off_what_it_measures() {
        let d = Dimension::new(Point::new(10.0, 100.0), Point::new(60.0, 90.0), 40.0, false)
            .expect("50 pixels long");
        assert_eq!(d.heads.map(|h| h.a.y), [40.0, 40.0], "level with itself");
        assert!(d.witness[0].p0.y < 100.0 && d.witness[1].p0.y < 90.0, "witness lines start clear");
        assert!(d.witness[0].p1.y < 40.0, "and run past the line");
        assert!(d.text.y < 40.0, "the number stands above the line");
        assert_eq!(d.shaft, Line::new((60.0, 40.0), (10.0, 40.0)), "the arrows stand inside");
    }

    #[test]
    fn a_short_one_has_its_arrows_outside() {
        let d = Dimension::new(Point::ORIGIN, Point::new(3.0, 0.0), 20.0, false)
            .expect("3 pixels long");
        assert_eq!(d.shaft, Line::new((-10.0, 20.0), (13.0, 20.0)), "beyond both ends");
        assert_eq!(d.heads.map(|h| h.a.x), [0.0, 3.0], "pointing in");
        assert_eq!(Dimension::new(Point::ORIGIN, Point::ORIGIN, 20.0, false), None, "0 pixels");
    }

    #[test]
    fn an_arrow_head_points_to_its_tip() {
        let head = arrow_head(Point::ORIGIN, Point::new(10.0, 0.0), 6.0);
        assert_eq!(head.a, Point::new(10.0, 0.0), "tip");
        assert!((head.b.x - 4.0).abs() < 1e-9 && (head.c.x - 4.0).abs() < 1e-9, "base behind it");
        assert!((head.b.y + head.c.y).abs() < 1e-9, "even about the line");
    }

    #[test]
    fn details_magnify_what_is_small() {
        assert_eq!(magnification(0.6, 50.0, 0.75), 20.0, "0.6 mm");
        assert_eq!(magnification(7.2, 50.0, 0.75), 6.0, "7.2 mm");
        assert_eq!(magnification(400.0, 50.0, 0.75), 1.0, "never smaller than the sheet");
    }
}
