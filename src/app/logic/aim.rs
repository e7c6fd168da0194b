//! Directions of feels.

use nudgeproof::geometry::{Point3, Vector3};

/// A direction along an axis in which a feel can search.
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

    /// The text on screen.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::PlusX => "+X",
            Self::MinusX => "−X",
            Self::PlusY => "+Y",
            Self::MinusY => "−Y",
            Self::MinusZ => "−Z",
        }
    }

    /// Its part of the names for tests.
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

    /// The way from the torch to a part that fills this box on the plan, mm: straight down if the
    /// torch is above the part.
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

    /// Name of the face that a search in this direction meets: towards +X the west face.
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
    libm::atan2(v.y, v.x).to_degrees()
}

/// The level direction at an angle on the plan, degrees from +X, counter-clockwise.
pub(crate) fn plan_direction(angle_deg: f64) -> Vector3<f64> {
    let (y, x) = libm::sincos(angle_deg.to_radians());
    Vector3::new(x, y, 0.0)
}

/// A direction on screen: the label of an aim, or the angle on the plan from +X.
pub(crate) fn direction_label(v: &Vector3<f64>) -> String {
    let aim = Aim::nearest(v);
    if aim.is(v) { aim.label().to_owned() } else { format!("{:.1}°", plan_angle_deg(v)) }
}

#[cfg(test)]
mod tests {
    use super::*;

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
