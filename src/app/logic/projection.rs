use nudgeproof::geometry::{Point2, Point3};

/// A place on the sheet: CSS pixels from the sheet's top left corner, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ScreenPoint {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl ScreenPoint {
    pub(crate) fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    pub(crate) fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// The place `t` of the way to `other`.
    pub(crate) fn towards(self, other: Self, t: f64) -> Self {
        Self::new(self.x + (other.x - self.x) * t, self.y + (other.y - self.y) * t)
    }
}

/// The only way between the work frame (mm, y and z up) and the sheet (pixels, y down).
///
/// Plan and elevation stand in one column and share X, as views on a drawing do. Heights below the
/// break_height are drawn larger than those above it: what matters at the part is millimetres high, the way
/// home is not. A break line on the sheet says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Projection {
    /// Pixels a millimetre on the plan, and along X in the elevation.
    pub(crate) scale: f64,
    /// Where X = 0 is, pixels.
    pub(crate) x_zero: f64,
    /// Where Y = 0 is on the plan, pixels.
    pub(crate) y_zero: f64,
    /// Where the table top, Z = 0, is in the elevation, pixels.
    pub(crate) z_zero: f64,
    /// Pixels a millimetre of height below the break_height.
    pub(crate) z_low: f64,
    /// Pixels a millimetre of height above it.
    pub(crate) z_high: f64,
    /// Height of the break_height, mm.
    pub(crate) break_height: f64,
}

impl Projection {
    /// Where a point is drawn on the plan.
    pub(crate) fn plan(&self, p: &Point3<f64>) -> ScreenPoint {
        self.plan_xy(p.x, p.y)
    }

    /// Where a point of the plan is drawn.
    pub(crate) fn plan_xy(&self, x: f64, y: f64) -> ScreenPoint {
        ScreenPoint::new(self.x_zero + x * self.scale, self.y_zero - y * self.scale)
    }

    /// Which point of the plan is drawn there.
    pub(crate) fn plan_back(&self, s: ScreenPoint) -> Point2<f64> {
        Point2::new((s.x - self.x_zero) / self.scale, (self.y_zero - s.y) / self.scale)
    }

    /// Where a point is drawn in the elevation, seen from the front (along +Y).
    pub(crate) fn side(&self, p: &Point3<f64>) -> ScreenPoint {
        self.side_xz(p.x, p.z)
    }

    /// Where a point of the elevation is drawn.
    pub(crate) fn side_xz(&self, x: f64, z: f64) -> ScreenPoint {
        let up = if z <= self.break_height {
            z * self.z_low
        } else {
            self.break_height * self.z_low + (z - self.break_height) * self.z_high
        };
        ScreenPoint::new(self.x_zero + x * self.scale, self.z_zero - up)
    }

    /// Which height is drawn at this distance from the sheet's top.
    pub(crate) fn height_back(&self, y: f64) -> f64 {
        let up = self.z_zero - y;
        let knee_up = self.break_height * self.z_low;
        if up <= knee_up {
            up / self.z_low
        } else {
            self.break_height + (up - knee_up) / self.z_high
        }
    }

    /// Length on the plan, pixels.
    pub(crate) fn px(&self, mm: f64) -> f64 {
        mm * self.scale
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example() -> Projection {
        Projection {
            scale: 0.75,
            x_zero: 150.0,
            y_zero: 300.0,
            z_zero: 560.0,
            z_low: 1.6,
            z_high: 0.25,
            break_height: 50.0,
        }
    }

    #[test]
    fn up_on_the_plan_is_up_on_the_screen() {
        let p = example();
        assert_eq!(p.plan_xy(100.0, 40.0), ScreenPoint::new(225.0, 270.0), "X right, Y up");
        assert!(p.plan_xy(0.0, 10.0).y < p.plan_xy(0.0, 0.0).y, "Y grows upwards");
    }

    #[test]
    fn the_plan_reads_back_what_it_drew() {
        let p = example();
        for (x, y) in [(0.0, 0.0), (-160.0, -180.0), (400.0, 250.0), (12.3, -4.56)] {
            let back = p.plan_back(p.plan_xy(x, y));
            assert!((back - Point2::new(x, y)).norm() < 1e-9, "{x} {y} came back as {back}");
        }
    }

    #[test]
    fn heights_read_back_on_both_sides_of_the_knee() {
        let p = example();
        for z in [-5.0, 0.0, 5.0, 49.9, 50.0, 50.1, 200.0] {
            let back = p.height_back(p.side_xz(30.0, z).y);
            assert!((back - z).abs() < 1e-9, "{z} came back as {back}");
        }
    }

    #[test]
    fn plan_and_elevation_share_x() {
        let p = example();
        let q = Point3::new(123.0, 45.0, 6.0);
        assert_eq!(p.plan(&q).x, p.side(&q).x, "one column");
    }
}
