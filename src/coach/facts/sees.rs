use super::touches::TouchFacts;
use crate::geometry::{Point3, Vector3};
use crate::locate::{self, Freedom, Freedoms};
use crate::text::{Sentence, say};

/// "also lets the part …".
pub(in crate::coach) fn verb(freedom: Freedom) -> Sentence {
    match freedom {
        Freedom::X => say::to_slide_x(),
        Freedom::Y => say::to_slide_y(),
        Freedom::Height => say::to_sit_higher(),
        Freedom::TiltX | Freedom::TiltY => say::to_tilt(),
        Freedom::Turn => say::to_turn(),
    }
}

/// "if the part …".
pub(in crate::coach) fn verbs(freedom: Freedom) -> Sentence {
    match freedom {
        Freedom::X => say::slides_x(),
        Freedom::Y => say::slides_y(),
        Freedom::Height => say::sits_higher(),
        Freedom::TiltX | Freedom::TiltY => say::tilts(),
        Freedom::Turn => say::turns(),
    }
}

/// Which freedoms of the set no touch tells.
pub(in crate::coach) fn unseen(freedoms: Freedoms, touches: &[&TouchFacts]) -> Freedoms {
    let touch = |t: &&TouchFacts| {
        let meets = t.meets();
        let contact = t.start + t.direction * meets.map_or(0.0, |m| m.travel);
        (contact, meets.map_or(-t.direction, |m| m.normal))
    };
    locate::unseen(freedoms, &touches.iter().map(touch).collect::<Vec<_>>())
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
