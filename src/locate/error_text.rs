//! The sentences of [`LocateError`].

use super::error::{BadNumber, LocateError, MIN_STEEPNESS};
use crate::text::{Sentence, Value, against, angle, mm, number, say};
use nalgebra::Vector3;

impl LocateError {
    /// The sentence with the names of these faces, and touches by their numbers.
    pub fn said(&self, faces: &[&str]) -> Sentence {
        let face = |i: usize| faces.get(i).copied().unwrap_or_default().into();
        self.message(&face, &|i| say::touch_number(i + 1).into())
    }

    /// One sentence for a technician: what is wrong, found against needed, and what to
    /// do. `face_name` and `touch_name` give the reader's names for a face label and
    /// for the number of a touch, from 0.
    pub fn message(
        &self,
        face_name: &dyn Fn(usize) -> Value,
        touch_name: &dyn Fn(usize) -> Value,
    ) -> Sentence {
        match self {
            Self::BadInput { touch, what } => {
                let touch = touch_name(*touch);
                match what {
                    BadNumber::Search => say::unusable_search(touch),
                    BadNumber::Reference => say::unusable_reference(touch),
                    BadNumber::Current => say::unusable_contact(touch),
                }
            }
            Self::BadSigma { sigma_mm } => say::bad_repeatability(mm(*sigma_mm, 3)),
            Self::NoContact { touch } => say::no_contact(touch_name(*touch)),
            Self::NoFreedom => say::no_freedom(),
            Self::TooFew { freedoms, needed, got } => {
                let (may, missing) = (freedoms.said(), needed.saturating_sub(*got));
                match (needed, got) {
                    (1, _) => say::one_touch_needed(may),
                    (_, 1) => say::touches_needed_one(may, *needed, missing),
                    _ => say::touches_needed(may, *needed, *got, missing),
                }
            }
            Self::NotParallel { touch, angle: off } => {
                say::not_parallel(touch_name(*touch), angle(*off, 1))
            }
            Self::FaceMismatch { face, first, other } => {
                say::face_mismatch(touch_name(*first), touch_name(*other), face_name(*face))
            }
            Self::ShortBaseline { face, n_touches, spread_mm, advised_mm, .. } => {
                let (face, apart) = (face_name(*face), mm(*spread_mm, 1));
                let least = mm(advised_mm.ceil(), 0);
                match n_touches {
                    2 => say::both_too_close(face, apart, least),
                    n => say::all_too_close(*n, face, apart, least),
                }
            }
            Self::Grazing { face, touch, angle: off } => {
                let least = angle(libm::asin(MIN_STEEPNESS), 1);
                let [off, least] = against(angle(*off, 1), least);
                say::grazing(touch_name(*touch), face_name(*face), off, least)
            }
            Self::FreeTranslation { direction } => say::free_along(along(direction)),
            Self::FreeRotation { about, axis } => {
                let [x, y, z] = [about.x, about.y, about.z].map(|v| mm(v, 1));
                say::free_about(x, y, z, along(axis))
            }
            Self::WrongSide { touch: Some(touch), rotation } => {
                say::wrong_side(angle(*rotation, 0), touch_name(*touch))
            }
            Self::WrongSide { touch: None, .. } => say::fits_nowhere(),
        }
    }
}

/// Cosine of the greatest angle from an axis at which a direction still goes by its name: 1°.
const ONE_AXIS: f64 = 0.999_85;

/// A direction for a reader: an axis by its name, any other by its numbers.
fn along(v: &Vector3<f64>) -> Sentence {
    let parts = [(say::free_x(), v.x), (say::free_y(), v.y), (say::axis_z(), v.z)];
    let axis = parts.into_iter().find(|(_, part)| part.abs() > ONE_AXIS);
    axis.map_or_else(
        || {
            let [x, y, z] = [v.x, v.y, v.z].map(|part| number(part, 2));
            say::direction(x, y, z)
        },
        |(name, _)| name,
    )
}
