use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::routine::Routine;

/// A direction the torch can be told to feel in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Aim {
    PlusX,
    MinusX,
    PlusY,
    MinusY,
    MinusZ,
}

impl Aim {
    pub(crate) const ALL: [Self; 5] =
        [Self::PlusX, Self::MinusX, Self::PlusY, Self::MinusY, Self::MinusZ];

    /// Unit vector in the work frame.
    pub(crate) fn vector(self) -> Vector3<f64> {
        match self {
            Self::PlusX => Vector3::x(),
            Self::MinusX => -Vector3::x(),
            Self::PlusY => Vector3::y(),
            Self::MinusY => -Vector3::y(),
            Self::MinusZ => -Vector3::z(),
        }
    }

    /// As a learner reads it.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::PlusX => "+X",
            Self::MinusX => "−X",
            Self::PlusY => "+Y",
            Self::MinusY => "−Y",
            Self::MinusZ => "−Z",
        }
    }

    /// Its name in addresses of page elements.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::PlusX => "plus-x",
            Self::MinusX => "minus-x",
            Self::PlusY => "plus-y",
            Self::MinusY => "minus-y",
            Self::MinusZ => "minus-z",
        }
    }

    /// Whether a direction (unit vector) is the one of this aim.
    pub(crate) fn is(self, v: &Vector3<f64>) -> bool {
        self.vector().dot(v) > 1.0 - 1e-9
    }

    /// The aim nearest to a direction.
    pub(crate) fn nearest(v: &Vector3<f64>) -> Self {
        let mut best = Self::PlusX;
        for aim in Self::ALL {
            if aim.vector().dot(v) > best.vector().dot(v) {
                best = aim;
            }
        }
        best
    }

    /// From where the torch stands beside a part that fills this box, the way to the part.
    pub(crate) fn towards(torch: &Point3<f64>, x: [f64; 2], y: [f64; 2]) -> Self {
        let gaps = [
            (Self::PlusX, x[0] - torch.x),
            (Self::MinusX, torch.x - x[1]),
            (Self::PlusY, y[0] - torch.y),
            (Self::MinusY, torch.y - y[1]),
        ];
        let widest = gaps.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
        match widest {
            Some((aim, gap)) if gap > 0.0 => aim,
            _ => Self::MinusZ,
        }
    }

    /// The face that lies that way: feeling to the right one meets the part's west face.
    pub(crate) fn face(self) -> &'static str {
        match self {
            Self::PlusX => "west",
            Self::MinusX => "east",
            Self::PlusY => "south",
            Self::MinusY => "north",
            Self::MinusZ => "top",
        }
    }
}

/// The angle of a direction on the plan, degrees from +X, counter-clockwise.
pub(crate) fn plan_angle_deg(v: &Vector3<f64>) -> f64 {
    v.y.atan2(v.x).to_degrees()
}

/// The level direction at an angle on the plan, degrees from +X, counter-clockwise.
pub(crate) fn plan_direction(angle_deg: f64) -> Vector3<f64> {
    let (y, x) = angle_deg.to_radians().sin_cos();
    Vector3::new(x, y, 0.0)
}

/// A direction as a learner reads it: the label of an aim, or the angle on the plan from +X.
pub(crate) fn direction_label(v: &Vector3<f64>) -> String {
    let aim = Aim::nearest(v);
    if aim.is(v) { aim.label().to_owned() } else { format!("{:.1}°", plan_angle_deg(v)) }
}

/// More points of one stem than any routine has.
const MOST: u32 = 100_000;

/// `stem-1`, or the first number after it that no point has yet.
pub(crate) fn numbered(routine: &Routine, stem: &str) -> String {
    (1..=MOST)
        .map(|n| format!("{stem}-{n}"))
        .find(|name| routine.point(name).is_none())
        .unwrap_or_else(|| stem.to_owned())
}

/// `stem`, or `stem-2` and on if a point has that name already.
pub(crate) fn plain(routine: &Routine, stem: &str) -> String {
    if routine.point(stem).is_none() {
        return stem.to_owned();
    }
    (2..=MOST)
        .map(|n| format!("{stem}-{n}"))
        .find(|name| routine.point(name).is_none())
        .unwrap_or_else(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::TaughtPoint;

    fn with(names: &[&str]) -> Routine {
        let points =
            names.iter().map(|n| TaughtPoint { name: (*n).into(), at: Point3::origin() }).collect();
        Routine { points, ..Routine::default() }
    }

    #[test]
    fn names_count_up() {
        assert_eq!(numbered(&with(&[]), "west"), "west-1", "the first");
        assert_eq!(numbered(&with(&["west-1", "west-3"]), "west"), "west-2", "the first free one");
        assert_eq!(plain(&with(&[]), "approach"), "approach", "no number while it is the only one");
        assert_eq!(plain(&with(&["approach"]), "approach"), "approach-2", "then 2");
    }

    #[test]
    fn the_torch_aims_at_the_part() {
        let (x, y) = ([0.0, 400.0], [0.0, 250.0]);
        let aim = |px, py| Aim::towards(&Point3::new(px, py, 5.0), x, y);
        assert_eq!(aim(-16.0, 200.0), Aim::PlusX, "west of it");
        assert_eq!(aim(416.0, 200.0), Aim::MinusX, "east of it");
        assert_eq!(aim(50.0, -16.0), Aim::PlusY, "south of it");
        assert_eq!(aim(50.0, 266.0), Aim::MinusY, "north of it");
        assert_eq!(aim(50.0, 60.0), Aim::MinusZ, "above it");
    }

    #[test]
    fn a_skew_direction_is_told_as_an_angle() {
        assert_eq!(direction_label(&-Vector3::y()), "−Y", "an axis");
        let v = Vector3::new(1.0, 1.0, 0.0).normalize();
        assert_eq!(direction_label(&v), "45.0°", "half way");
        assert!((plan_direction(45.0) - v).norm() < 1e-12, "and back");
        assert!(Aim::MinusX.is(&plan_direction(180.0)), "half a turn from +X");
    }
}
