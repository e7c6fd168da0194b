use nalgebra::{Point3, Vector3};

/// An axis-aligned box, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Least corner.
    pub lo: Point3<f64>,
    /// Greatest corner.
    pub hi: Point3<f64>,
}

impl Bounds {
    /// The empty box.
    pub fn nothing() -> Self {
        let inf = f64::INFINITY;
        Self { lo: Point3::new(inf, inf, inf), hi: Point3::new(-inf, -inf, -inf) }
    }

    /// The smallest box around points.
    pub fn around<'a>(points: impl IntoIterator<Item = &'a Point3<f64>>) -> Self {
        points.into_iter().fold(Self::nothing(), |b, p| b.with(p))
    }

    /// The smallest box around this one and a point.
    #[must_use]
    pub fn with(&self, p: &Point3<f64>) -> Self {
        self.join(&Self { lo: *p, hi: *p })
    }

    /// The smallest box around both.
    #[must_use]
    pub fn join(&self, other: &Self) -> Self {
        let ((a, b), (c, d)) = ((&self.lo, &self.hi), (&other.lo, &other.hi));
        Self {
            lo: Point3::new(a.x.min(c.x), a.y.min(c.y), a.z.min(c.z)),
            hi: Point3::new(b.x.max(d.x), b.y.max(d.y), b.z.max(d.z)),
        }
    }

    /// This box, grown on every side, mm.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        let v = Vector3::repeat(by);
        Self { lo: self.lo - v, hi: self.hi + v }
    }

    /// The smallest box around this one and its copy moved by `v`, mm.
    #[must_use]
    pub fn swept(&self, v: &Vector3<f64>) -> Self {
        self.join(&Self { lo: self.lo + v, hi: self.hi + v })
    }

    /// Whether the point is in it.
    pub fn holds(&self, p: &Point3<f64>) -> bool {
        self.meets(&Self { lo: *p, hi: *p })
    }

    /// Whether the two have a point in common.
    pub fn meets(&self, other: &Self) -> bool {
        self.lo.x <= other.hi.x
            && other.lo.x <= self.hi.x
            && self.lo.y <= other.hi.y
            && other.lo.y <= self.hi.y
            && self.lo.z <= other.hi.z
            && other.lo.z <= self.hi.z
    }
}
