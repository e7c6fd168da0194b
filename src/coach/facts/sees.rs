use super::touches::TouchFacts;
use crate::cell::FixturePlay;
use crate::geometry::{Point3, Vector3};
use crate::locate::Freedoms;
use nalgebra::{DMatrix, DVector};

/// One degree of freedom of the part, in the order of the unknowns of *slide and tilt*.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::coach) enum Freedom {
    SlideX,
    SlideY,
    SlideZ,
    TiltX,
    TiltY,
    Turn,
}

impl Freedom {
    pub(in crate::coach) const ALL: [Self; 6] =
        [Self::SlideX, Self::SlideY, Self::SlideZ, Self::TiltX, Self::TiltY, Self::Turn];

    /// "also lets the part …".
    pub(in crate::coach) const fn verb(self) -> &'static str {
        match self {
            Self::SlideX => "slide along X",
            Self::SlideY => "slide along Y",
            Self::SlideZ => "sit higher or lower",
            Self::TiltX | Self::TiltY => "tilt",
            Self::Turn => "turn",
        }
    }

    /// "if the part …".
    pub(in crate::coach) const fn verbs(self) -> &'static str {
        match self {
            Self::SlideX => "slides along X",
            Self::SlideY => "slides along Y",
            Self::SlideZ => "sits higher or lower",
            Self::TiltX | Self::TiltY => "tilts",
            Self::Turn => "turns",
        }
    }
}

/// The degrees of freedom that the fixture leaves.
pub(in crate::coach) fn allowed(play: &FixturePlay) -> Vec<Freedom> {
    let limits = [play.dx, play.dy, play.dz, play.tilt_deg, play.tilt_deg, play.turn_deg];
    Freedom::ALL.into_iter().zip(limits).filter(|(_, l)| *l != 0.0).map(|(m, _)| m).collect()
}

/// The degrees of freedom that a plan solves for; *slide one way* is along its first search.
pub(in crate::coach) fn solved(
    freedoms: Freedoms,
    first_search: Option<Vector3<f64>>,
) -> Vec<Freedom> {
    use Freedom::{SlideX, SlideY, SlideZ, TiltX, TiltY, Turn};
    match freedoms {
        Freedoms::SlideOne => {
            let d = first_search.unwrap_or_else(Vector3::zeros).map(f64::abs);
            let ways = [(SlideX, d.x), (SlideY, d.y), (SlideZ, d.z)];
            ways.into_iter().filter(|(_, share)| *share > ALONG).map(|(m, _)| m).collect()
        }
        Freedoms::SlideTwo => vec![SlideX, SlideY],
        Freedoms::SlideTurn => vec![SlideX, SlideY, Turn],
        Freedoms::SlideThree => vec![SlideX, SlideY, SlideZ],
        Freedoms::SlideThreeTurn => vec![SlideX, SlideY, SlideZ, Turn],
        Freedoms::SlideTilt => vec![SlideX, SlideY, SlideZ, TiltX, TiltY, Turn],
    }
}

/// A search this much along an axis sees a slide along it (cosine of about 25°).
const ALONG: f64 = 0.9;
/// Below this share of the strongest direction a motion changes no reading noticeably.
const BLIND: f64 = 0.02;

/// Which of the motions no reading depends on: those with a share in a motion of the part that
/// leaves every touch where it is (to first order).
pub(in crate::coach) fn unseen(motions: &[Freedom], touches: &[&TouchFacts]) -> Vec<Freedom> {
    // A matrix without rows or columns has no singular values.
    if touches.is_empty() || motions.is_empty() {
        return motions.to_vec();
    }
    let contact = |t: &TouchFacts| t.start + t.direction * t.meets().map_or(0.0, |m| m.travel);
    let centre =
        touches.iter().map(|t| contact(t).coords).sum::<Vector3<f64>>() / touches.len() as f64;
    let arms: Vec<Vector3<f64>> = touches.iter().map(|t| contact(t).coords - centre).collect();
    let length =
        (arms.iter().map(Vector3::norm_squared).sum::<f64>() / arms.len() as f64).sqrt().max(1.0);
    let rows = touches.len().max(motions.len());
    let mut j = DMatrix::zeros(rows, motions.len());
    for (r, (t, arm)) in touches.iter().zip(&arms).enumerate() {
        let n = t.meets().map_or(-t.direction, |m| m.normal);
        let moment = arm.cross(&n) / length;
        let row = [n.x, n.y, n.z, moment.x, moment.y, moment.z];
        for (c, m) in motions.iter().enumerate() {
            j[(r, c)] = row[*m as usize];
        }
    }
    let svd = j.svd(false, true);
    let Some(v) = svd.v_t else { return Vec::new() };
    let strongest = svd.singular_values.max();
    let blind: Vec<DVector<f64>> = (0..motions.len())
        .filter(|&k| svd.singular_values[k] <= BLIND * strongest)
        .map(|k| v.row(k).transpose())
        .collect();
    motions
        .iter()
        .enumerate()
        .filter(|(c, _)| blind.iter().any(|v| v[*c].abs() > 0.2))
        .map(|(_, m)| *m)
        .collect()
}

/// The greatest number of touches on one face, and the greatest distance between two of them, mm.
pub(in crate::coach) fn most_on_one_face(touches: &[&TouchFacts]) -> (usize, f64) {
    let same = |a: &TouchFacts, b: &TouchFacts| {
        if a.meets().is_some() && b.meets().is_some() { a.shares_face(b) } else { a.face == b.face }
    };
    let mut best = (0, 0.0_f64);
    for a in touches {
        let on: Vec<_> = touches.iter().filter(|b| same(a, b)).collect();
        let far = on.iter().map(|b| apart(&a.start, &b.start, &a.direction)).fold(0.0, f64::max);
        if on.len() > best.0 || (on.len() == best.0 && far > best.1) {
            best = (on.len(), far);
        }
    }
    best
}

/// Distance between two parallel search lines, mm.
pub(in crate::coach) fn apart(a: &Point3<f64>, b: &Point3<f64>, direction: &Vector3<f64>) -> f64 {
    let d = b - a;
    (d - direction * d.dot(direction)).norm()
}
