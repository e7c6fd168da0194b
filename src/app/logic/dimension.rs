use super::projection::ScreenPoint;

/// A dimension line (ISO 129-1): two witness lines, a line between arrow heads, a number that
/// stands clear of what it measures.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dimension {
    /// Witness lines, from just off the measured place to just past the dimension line.
    pub(crate) witness: [[ScreenPoint; 2]; 2],
    /// The dimension line.
    pub(crate) line: [ScreenPoint; 2],
    /// Where its arrow heads point from: inside pointing out, or outside pointing in.
    pub(crate) outside: bool,
    /// Where the number stands.
    pub(crate) text: ScreenPoint,
}

/// Gap between the measured place and its witness line, pixels.
const GAP: f64 = 3.0;
/// How far a witness line runs past the dimension line, pixels.
const PAST: f64 = 4.0;
/// Shorter than this the arrows stand outside, pixels.
const TIGHT: f64 = 22.0;

impl Dimension {
    /// Measures from `a` to `b` along X (`vertical` false) or along Y, on a line at `level`
    /// (its y, or its x).
    pub(crate) fn new(a: ScreenPoint, b: ScreenPoint, level: f64, vertical: bool) -> Self {
        let on = |s: ScreenPoint| {
            if vertical { ScreenPoint::new(level, s.y) } else { ScreenPoint::new(s.x, level) }
        };
        let (la, lb) = (on(a), on(b));
        let length = la.distance(lb);
        let mid = la.towards(lb, 0.5);
        let text = if vertical {
            ScreenPoint::new(mid.x + 5.0, mid.y)
        } else {
            ScreenPoint::new(mid.x, mid.y - 5.0)
        };
        Self {
            witness: [witness(a, la), witness(b, lb)],
            line: [la, lb],
            outside: length < TIGHT,
            text,
        }
    }
}

fn witness(from: ScreenPoint, to: ScreenPoint) -> [ScreenPoint; 2] {
    let d = from.distance(to);
    if d < GAP {
        return [to, to];
    }
    [from.towards(to, GAP / d), from.towards(to, (d + PAST) / d)]
}

/// The three corners of an arrow head at `tip`, pointing away from `from`.
pub(crate) fn arrow_head(from: ScreenPoint, tip: ScreenPoint, length: f64) -> [ScreenPoint; 3] {
    let d = from.distance(tip).max(1e-9);
    let (ux, uy) = ((tip.x - from.x) / d, (tip.y - from.y) / d);
    let (bx, by) = (tip.x - ux * length, tip.y - uy * length);
    let half = length * 0.3;
    [
        tip,
        ScreenPoint::new(bx - uy * half, by + ux * half),
        ScreenPoint::new(bx + uy * half, by - ux * half),
    ]
}

/// A magnification that shows a distance of `mm` well inside a circle of `radius` pixels: a round
/// multiple of the sheet's scale, at most 50 times.
pub(crate) fn magnification(mm: f64, radius: f64, px_per_mm: f64) -> f64 {
    const STEPS: [f64; 6] = [50.0, 20.0, 10.0, 5.0, 2.0, 1.0];
    let fits = |m: &f64| mm * px_per_mm * m <= radius * 0.78;
    STEPS.iter().copied().find(|m| fits(m)).unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dimension_keeps_off_what_it_measures() {
        let d = Dimension::new(
            ScreenPoint::new(10.0, 100.0),
            ScreenPoint::new(60.0, 90.0),
            40.0,
            false,
        );
        assert_eq!(
            d.line,
            [ScreenPoint::new(10.0, 40.0), ScreenPoint::new(60.0, 40.0)],
            "level with itself"
        );
        assert!(d.witness[0][0].y < 100.0 && d.witness[1][0].y < 90.0, "witness lines start clear");
        assert!(d.witness[0][1].y < 40.0, "and run past the line");
        assert!(d.text.y < 40.0 && !d.outside, "the number stands above the line");
    }

    #[test]
    fn a_short_one_has_its_arrows_outside() {
        assert!(
            Dimension::new(ScreenPoint::new(0.0, 0.0), ScreenPoint::new(3.0, 0.0), 20.0, false)
                .outside,
            "3 pixels"
        );
    }

    #[test]
    fn an_arrow_head_points_to_its_tip() {
        let [tip, l, r] = arrow_head(ScreenPoint::new(0.0, 0.0), ScreenPoint::new(10.0, 0.0), 6.0);
        assert_eq!(tip, ScreenPoint::new(10.0, 0.0), "tip");
        assert!((l.x - 4.0).abs() < 1e-9 && (r.x - 4.0).abs() < 1e-9, "base behind it");
        assert!((l.y + r.y).abs() < 1e-9, "even about the line");
    }

    #[test]
    fn details_magnify_what_is_small() {
        assert_eq!(magnification(0.6, 50.0, 0.75), 50.0, "0.6 mm");
        assert_eq!(magnification(7.2, 50.0, 0.75), 5.0, "7.2 mm");
        assert_eq!(magnification(400.0, 50.0, 0.75), 1.0, "never smaller than the sheet");
    }
}
