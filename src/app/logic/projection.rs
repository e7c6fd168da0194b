//! The projection of the work frame onto a drawing, both ways. Nothing else flips an axis.
//!
//! The types keep the two frames apart: a point in the work frame is `nalgebra`'s (mm, X right, Y up
//! on the plan, Z up from the table); a point on a drawing is `kurbo`'s (CSS pixels from the top left
//! corner, y down).

use kurbo::{Point, Vec2};
use nudgeproof::geometry::{Point2, Point3, Vector2, Vector3};

/// The work frame seen from above, drawn to one scale: the plan, a magnified detail of it, or the
/// plan of a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlanProjection {
    /// Pixels per millimetre.
    pub(crate) scale: f64,
    /// Where the origin of the work frame is drawn.
    origin: Point,
}

impl PlanProjection {
    /// Draws the work frame's point `middle`, mm, at `at`.
    pub(crate) fn new(scale: f64, middle: Point2<f64>, at: Point) -> Self {
        Self { scale, origin: Point::new(at.x - middle.x * scale, at.y + middle.y * scale) }
    }

    /// Where a point is drawn.
    pub(crate) fn point(&self, p: &Point3<f64>) -> Point {
        self.origin + self.vector(&p.coords)
    }

    /// How a displacement is drawn.
    pub(crate) fn vector(&self, v: &Vector3<f64>) -> Vec2 {
        Vec2::new(v.x * self.scale, -v.y * self.scale)
    }

    /// Which point, mm, is drawn here.
    pub(crate) fn point_back(&self, at: Point) -> Point2<f64> {
        Point2::from(self.vector_back(at - self.origin))
    }

    /// Which displacement, mm, is drawn like this.
    pub(crate) fn vector_back(&self, v: Vec2) -> Vector2<f64> {
        Vector2::new(v.x / self.scale, -v.y / self.scale)
    }

    /// A length as drawn, pixels.
    pub(crate) fn px(&self, mm: f64) -> f64 {
        mm * self.scale
    }
}

/// The unit vector on the drawing for an angle on the plan: radians, counter-clockwise from X.
pub(crate) fn direction(angle: f64) -> Vec2 {
    Vec2::new(libm::cos(angle), -libm::sin(angle))
}

/// The angle on the plan of a vector on the drawing: radians, counter-clockwise from X.
pub(crate) fn bearing(v: Vec2) -> f64 {
    libm::atan2(-v.y, v.x)
}

/// The work frame seen from the front (along +Y).
///
/// Heights below `break_height` are drawn larger than those above it: at the part millimetres count,
/// above it the torch only travels. A break line on the sheet marks the change of scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ElevationProjection {
    /// Pixels per millimetre along X.
    pub(crate) scale: f64,
    /// Where X = 0 is drawn, pixels from the left.
    pub(crate) x_zero: f64,
    /// Where the table top, Z = 0, is drawn, pixels from the top.
    pub(crate) table: f64,
    /// Pixels per millimetre of height below the break.
    pub(crate) low_scale: f64,
    /// Pixels per millimetre of height above it.
    pub(crate) high_scale: f64,
    /// Height of the break, mm.
    pub(crate) break_height: f64,
}

impl ElevationProjection {
    /// Where a point is drawn.
    pub(crate) fn point(&self, p: &Point3<f64>) -> Point {
        Point::new(self.x_zero + p.x * self.scale, self.height(p.z))
    }

    /// Where a height, mm, is drawn, pixels from the top.
    pub(crate) fn height(&self, z: f64) -> f64 {
        let (low, high) = (z.min(self.break_height), (z - self.break_height).max(0.0));
        self.table - low * self.low_scale - high * self.high_scale
    }

    /// Which height, mm, is drawn this many pixels from the top.
    pub(crate) fn height_back(&self, y: f64) -> f64 {
        let up = self.table - y;
        let below_break = self.break_height * self.low_scale;
        if up <= below_break {
            up / self.low_scale
        } else {
            self.break_height + (up - below_break) / self.high_scale
        }
    }

    /// A length along X as drawn, pixels.
    pub(crate) fn px(&self, mm: f64) -> f64 {
        mm * self.scale
    }
}

/// Both views of the sheet. They stand in one column and share X, as views on a drawing do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Projection {
    pub(crate) plan: PlanProjection,
    pub(crate) elevation: ElevationProjection,
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    fn plan() -> PlanProjection {
        PlanProjection::new(0.75, Point2::new(100.0, 40.0), Point::new(225.0, 270.0))
    }

    fn elevation() -> ElevationProjection {
        ElevationProjection {
            scale: 0.75,
            x_zero: 150.0,
            table: 560.0,
            low_scale: 1.6,
            high_scale: 0.25,
            break_height: 50.0,
        }
    }

    #[test]
    fn up_on_the_plan_is_up_on_the_screen() {
        let p = plan();
        assert_eq!(p.point(&Point3::new(100.0, 40.0, 0.0)), Point::new(225.0, 270.0), "as asked");
        assert_eq!(p.point(&Point3::origin()), Point::new(150.0, 300.0), "X right, Y up");
        assert_eq!(p.vector(&Vector3::y()), Vec2::new(0.0, -0.75), "Y grows upwards");
    }

    #[test]
    fn the_plan_reads_back_what_it_drew() {
        let p = plan();
        for (x, y) in [(0.0, 0.0), (-160.0, -180.0), (400.0, 250.0), (12.3, -4.56)] {
            let back = p.point_back(p.point(&Point3::new(x, y, 7.0)));
            assert!((back - Point2::new(x, y)).norm() < 1e-9, "{x} {y} came back as {back}");
            let back = p.vector_back(p.vector(&Vector3::new(x, y, 7.0)));
            assert!((back - Vector2::new(x, y)).norm() < 1e-9, "{x} {y} came back as {back}");
        }
    }

    #[test]
    fn angles_are_counter_clockwise_and_read_back() {
        assert!((direction(FRAC_PI_2) - Vec2::new(0.0, -1.0)).hypot() < 1e-12, "a quarter turn");
        for angle in [-3.0, -1.2, 0.0, 0.4, 2.9] {
            assert!((bearing(direction(angle) * 5.0) - angle).abs() < 1e-12, "{angle}");
        }
    }

    #[test]
    fn heights_read_back_on_both_sides_of_the_break() {
        let p = elevation();
        for z in [-5.0, 0.0, 5.0, 49.9, 50.0, 50.1, 200.0] {
            let back = p.height_back(p.height(z));
            assert!((back - z).abs() < 1e-9, "{z} came back as {back}");
        }
        assert_eq!(p.height(50.0), 480.0, "50 mm at 1.6 pixels each");
        assert_eq!(p.height(90.0), 470.0, "and 40 mm at a quarter of a pixel each");
    }

    #[test]
    fn plan_and_elevation_share_x() {
        let q = Point3::new(123.0, 45.0, 6.0);
        assert_eq!(plan().point(&q).x, elevation().point(&q).x, "one column");
    }
}
