//! The sentences of [`LocateError`].

use super::error::{BadNumber, LocateError, MIN_STEEPNESS};
use nalgebra::Vector3;

impl LocateError {
    /// One sentence for a technician: what is wrong, found against needed, and what to
    /// do. `face_name` and `touch_name` give the reader's names for a face label and
    /// for the number of a touch, from 0.
    pub fn message(
        &self,
        face_name: &dyn Fn(usize) -> String,
        touch_name: &dyn Fn(usize) -> String,
    ) -> String {
        match self {
            Self::BadInput { touch, what } => {
                let what = match what {
                    BadNumber::Search => "the search direction is not usable: give it a length within the directions that count",
                    BadNumber::Reference => "the taught contact is not a place in the cell",
                    BadNumber::Current => "the contact found is not a place in the cell",
                };
                format!("{}: {what}", touch_name(*touch))
            }
            Self::BadSigma { sigma_mm } => {
                format!("the touch repeatability is {sigma_mm} mm: it must be a positive length")
            }
            Self::NoContact { touch } => {
                format!("{} found nothing: no contact, so the part cannot be located", touch_name(*touch))
            }
            Self::NoFreedom => {
                "the part may have done nothing: name at least one freedom to solve for".into()
            }
            Self::TooFew { freedoms, needed, got } => format!(
                "to solve for {} takes {needed} {} and there {} {got}: add {} or allow the part fewer freedoms",
                freedoms.label(),
                plural(*needed, "touch", "touches"),
                if *got == 1 { "is" } else { "are" },
                needed.saturating_sub(*got),
            ),
            Self::NotParallel { touch, angle } => format!(
                "{} searches {:.1}° off the first touch: *slide one way* needs all searches parallel",
                touch_name(*touch),
                angle.to_degrees(),
            ),
            Self::FaceMismatch { face, first, other } => format!(
                "{} and {} both stand for face {} but search from opposite sides: give them different faces",
                touch_name(*first),
                touch_name(*other),
                face_name(*face),
            ),
            Self::ShortBaseline { face, n_touches, spread_mm, advised_mm, .. } => format!(
                "{} touches on {} are {} mm apart: too close to measure a turn; spread them at least {:.0} mm",
                if *n_touches == 2 { "both".into() } else { format!("all {n_touches}") },
                face_name(*face),
                short(*spread_mm),
                advised_mm.ceil(),
            ),
            Self::Grazing { face, touch, angle } => format!(
                "{} runs along {}: {:.1}° between search and face, at least {:.1}° needed; search square to the face",
                touch_name(*touch),
                face_name(*face),
                angle.to_degrees(),
                libm::asin(MIN_STEEPNESS).to_degrees(),
            ),
            Self::FreeTranslation { direction } => format!(
                "no touch holds the part along {}: touch a face that looks that way",
                along(direction),
            ),
            Self::FreeRotation { about, axis } => format!(
                "the part can turn about ({}, {}, {}) mm (axis {}) and every reading stays: all contact normals meet \
                 that axis; move a touch so that its search passes well beside it",
                short(about.x),
                short(about.y),
                short(about.z),
                along(axis),
            ),
            Self::WrongSide { touch: Some(touch), rotation } => format!(
                "the touches fit only with the part turned by {:.0}°, so that {} would meet its face from behind: \
                 check which face each touch really met",
                rotation.to_degrees(),
                touch_name(*touch),
            ),
            Self::WrongSide { touch: None, .. } => {
                "the touches fit no position of the part within a quarter turn: check which face each touch really met".into()
            }
        }
    }
}

fn plural<'a>(n: usize, one: &'a str, many: &'a str) -> &'a str {
    if n == 1 { one } else { many }
}

/// Up to two decimals, without trailing zeros and without the minus of "-0".
fn short(v: f64) -> String {
    let text = format!("{v:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Cosine of the greatest angle from an axis at which a direction still goes by its name: 1°.
const ONE_AXIS: f64 = 0.999_85;

/// A direction for a reader: an axis by its name, any other by its numbers.
fn along(v: &Vector3<f64>) -> String {
    let parts = [("X", v.x), ("Y", v.y), ("Z", v.z)];
    let axis = parts.into_iter().find(|(_, part)| part.abs() > ONE_AXIS);
    axis.map_or_else(|| triple(v), |(name, _)| name.into())
}

fn triple(v: &Vector3<f64>) -> String {
    format!("({}, {}, {})", short(v.x), short(v.y), short(v.z))
}
