use super::help::teach;
use crate::coach::facts::{Facts, Meets, TouchFacts, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::{Point3, Vector3};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::TouchNearCorner,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("touch_near_corner.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// What it meets instead of its face, at some extreme pose of the play.
enum Instead<'f> {
    Body(&'f str),
    Corner,
    Nothing,
}

fn instead(t: &TouchFacts) -> Option<Instead<'_>> {
    let normal = t.meets()?.normal;
    t.moved.iter().find_map(|m| match m {
        Meets::Other(o) if o.normal.dot(&normal) > 0.99 => Some(Instead::Body(&o.body)),
        Meets::Other(o) if Some(&o.body) == t.meets().map(|m| &m.body) => Some(Instead::Corner),
        Meets::Other(o) => Some(Instead::Body(&o.body)),
        Meets::Nozzle(body) => Some(Instead::Body(body)),
        Meets::Nothing => Some(Instead::Nothing),
        _ => None,
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter(|t| !super::touch_height::is_wrong(f, t))
        .filter_map(|t| instead(t).map(|what| (t, what)))
        .map(|(t, what)| {
            let step = f.step(t.step);
            let says = match what {
                Instead::Body(body) => say::may_meet_instead(step, say::body(body), &t.face),
                Instead::Corner => say::may_meet_instead(step, say::the_corner(), &t.face),
                Instead::Nothing => say::may_miss_face(step, &t.face),
            };
            RULE.says(says).step(f.id(t.step)).point(&t.point)
        })
        .collect()
}

/// Step by which the coach moves the point along the face, mm.
const STEP_MM: f64 = 5.0;

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == at)?;
    let face = t.meets()?.clone();
    let along = Vector3::z().cross(&t.direction).try_normalize(1e-9)?;
    let mut cell = f.cell.clone()?;
    let places = f.state.part.extremes();
    let mut lands = |p: &Point3<f64>| {
        places.iter().all(|(pose, own)| {
            cell.place_bodies(own);
            let met = look(&mut cell, *pose, p, &t.direction, t.reach);
            matches!(met, Meets::Face(m) if m.body == face.body && m.normal.dot(&face.normal) > 0.99)
        })
    };
    let by = (1..40).flat_map(|n| [STEP_MM * f64::from(n), -STEP_MM * f64::from(n)]);
    let to = by.map(|s| t.start + along * s).find(|p| lands(p))?;
    Some(vec![teach(&t.point, to)])
}
