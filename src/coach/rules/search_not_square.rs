use super::help::{change, teach};
use crate::coach::facts::{Facts, Meeting, Meets, TouchFacts, apart, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::{Point3, Vector3};
use crate::locate::MIN_BASELINE_MM;
use crate::session::Action;
use crate::text::{RuleName, against, angle, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::SearchNotSquare,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("search_not_square.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Greatest angle between a search and the normal of its face, degrees (common practice, no source).
const WITHIN_DEG: f64 = 15.0;
/// Share of the tolerance that a single touch at a slant may take (common practice, no source).
const SHARE: f64 = 0.5;

/// A search at a slant.
struct Slant {
    /// Angle between the search and the normal of the face, radians.
    angle: f64,
    /// Where the face is touched once: by how much the find then errs at most, and how much it may, mm.
    errs: Option<[f64; 2]>,
}

fn slant(f: &Facts, t: &TouchFacts) -> Option<Slant> {
    let m = t.meets()?;
    let square = -f.taught.vector(&m.normal).dot(&t.direction);
    let angle = libm::acos(square.clamp(-1.0, 1.0));
    let of_find = f.structure.find_of(t.step).map(|find| f.touches_of(find)).unwrap_or_default();
    let again = of_find.iter().any(|o| {
        let spot = apart(&o.start, &t.start, &t.direction) < MIN_BASELINE_MM;
        o.step != t.step && o.face == t.face && o.shares_face(t) && !spot
    });
    let errs = if again {
        (angle > WITHIN_DEG.to_radians()).then_some(None)?
    } else {
        let tolerances = f.state.part.seams.iter().map(|s| s.tolerance_mm);
        let allowed = SHARE * tolerances.reduce(f64::min)?;
        let errs = taken_for_an_approach(f, t, m);
        Some((errs >= allowed).then_some([errs, allowed])?)
    };
    (!super::search_misses_face::is_wrong(f, t) && !super::touch_height::is_wrong(f, t))
        .then_some(Slant { angle, errs })
}

/// A find takes the direction of a single touch for the normal of its face: by how much it errs in
/// that direction, at most, once the part has moved as far as it may, mm.
fn taken_for_an_approach(f: &Facts, t: &TouchFacts, m: &Meeting) -> f64 {
    // A touch that rides with a coarse place does not meet the whole play.
    if f.structure.follow_at(t.step).is_some() {
        return 0.0;
    }
    let contact = t.start + t.direction * m.travel;
    let on_part = f.taught.inverse().point(&contact);
    let normal = f.taught.vector(&m.normal);
    let steepness = normal.dot(&t.direction);
    let errs = f.state.part.play.corners().into_iter().map(|pose| {
        let moved = pose.point(&on_part) - contact;
        (moved.dot(&normal) / steepness - moved.dot(&t.direction)).abs()
    });
    errs.fold(0.0, f64::max)
}

fn check(f: &Facts) -> Vec<Finding> {
    let of = |t: &TouchFacts| {
        let slant = slant(f, t)?;
        let (step, face, off) = (f.step(t.step), &t.face, angle(slant.angle, 0));
        let says = match slant.errs {
            None => {
                let [off, within] = against(off, angle(WITHIN_DEG.to_radians(), 0));
                say::not_square(step, face, off, within)
            }
            Some([errs, allowed]) => {
                let [errs, allowed] = mm_against(errs, allowed);
                say::not_square_once(step, face, off, errs, allowed)
            }
        };
        Some(RULE.says(says).step(f.id(t.step)).point(&t.point))
    };
    f.touches.iter().filter_map(of).collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == at)?;
    let m = t.meets()?;
    let square = square_to(&f.taught.vector(&m.normal))?;
    let mut edits = vec![change(f, at, t.feel(square, &t.face))];
    // From the same point, where that meets the face; else to the same spot of the face.
    let mut cell = f.cell.clone()?;
    let mut meets = |from: &Point3<f64>| {
        let met = look(&mut cell, f.taught, from, &square, t.reach);
        matches!(met, Meets::Face(o) if o.travel <= t.reach && o.same_face(m))
    };
    if !meets(&t.start) {
        let from = t.start + (t.direction - square) * m.travel;
        edits.push(teach(&t.point, meets(&from).then_some(from)?));
    }
    Some(edits)
}

/// The search square to a face with this normal; level, where the face stands upright.
fn square_to(normal: &Vector3<f64>) -> Option<Vector3<f64>> {
    let upright = normal.z.abs() < 0.5;
    let z = if upright { 0.0 } else { normal.z };
    (-Vector3::new(normal.x, normal.y, z)).try_normalize(1e-9)
}
