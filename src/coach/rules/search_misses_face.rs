use super::help::change;
use crate::coach::facts::{Facts, Meets, TouchFacts, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Vector3;
use crate::locate::MIN_STEEPNESS;
use crate::session::Action;
use crate::text::{RuleName, Sentence, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::SearchMissesFace,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("search_misses_face.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits {
        // The face that it should meet may be near.
        silences: &[RuleName::ReachTooShort],
        ..RuleTraits::USUAL
    },
};

fn check(f: &Facts) -> Vec<Finding> {
    let of = |t: &TouchFacts| Some(RULE.says(wrong(f, t)?).step(f.id(t.step)).point(&t.point));
    f.touches.iter().filter_map(of).collect()
}

/// Whether a search does not meet the face it is meant for.
pub(super) fn is_wrong(f: &Facts, t: &TouchFacts) -> bool {
    wrong(f, t).is_some()
}

/// What a search meets instead of its face.
fn wrong(f: &Facts, t: &TouchFacts) -> Option<Sentence> {
    if super::touch_height::is_wrong(f, t) {
        return None;
    }
    let (step, face) = (f.step(t.step), &t.face);
    Some(match &t.taught {
        Meets::Nothing => say::searches_away(step),
        Meets::Other(m) => say::meets_another(step, say::body(&m.body), face),
        Meets::Nozzle(body) => say::nozzle_meets_first(step, say::body(body), face),
        Meets::Face(m) if m.normal.dot(&t.direction).abs() < MIN_STEEPNESS => {
            say::runs_along(step, say::body(&m.body))
        }
        Meets::Face(m) if m.travel > t.reach && meets_behind(f, t) => {
            say::face_is_behind(step, face)
        }
        Meets::Face(_) => say::two_faces_of_one_name(step, face, f.step(stranger(f, t)?.step)),
        Meets::Touching(_) => return None,
    })
}

/// Whether the face is in the opposite direction, within reach.
fn meets_behind(f: &Facts, t: &TouchFacts) -> bool {
    let Some(mut cell) = f.cell.clone() else { return false };
    let back = look(&mut cell, f.taught, &t.start, &-t.direction, t.reach);
    matches!(back, Meets::Face(m) if m.travel <= t.reach && body_of_part(f, &m.body))
}

fn body_of_part(f: &Facts, name: &str) -> bool {
    f.state.part.body(name).is_some()
}

/// Another touch with the same face name that meets another face, if this touch has the wrong name.
fn stranger<'f>(f: &'f Facts, t: &TouchFacts) -> Option<&'f TouchFacts> {
    let find = f.structure.find_of(t.step)?;
    let named: Vec<&TouchFacts> = f
        .touches
        .iter()
        .filter(|o| o.step != t.step && o.face == t.face && find.feels.contains(&o.step))
        .filter(|o| o.meets().is_some() && !super::touch_height::is_wrong(f, o))
        .collect();
    let other = *named.iter().find(|o| !parallel(t, o))?;
    let agree = named.iter().filter(|o| parallel(t, o)).count();
    let disagree = named.len() - agree;
    if disagree != agree + 1 {
        return (disagree > agree + 1).then_some(other);
    }
    // One against one: the part's own name for the face decides; otherwise the later touch is reported.
    let model = f.state.part.model_touches.iter().find(|m| m.face == t.face);
    let right = |t: &TouchFacts| {
        model.is_some_and(|m| {
            t.meets().is_some_and(|x| x.normal.dot(&Vector3::from(m.direction)) < -0.9)
        })
    };
    let mine = match (right(t), right(other)) {
        (true, false) => false,
        (false, true) => true,
        _ => t.step > other.step,
    };
    mine.then_some(other)
}

fn parallel(a: &TouchFacts, b: &TouchFacts) -> bool {
    a.meets().zip(b.meets()).is_some_and(|(a, b)| a.normal.dot(&b.normal) > 0.99)
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == at)?;
    let mut cell = f.cell.clone()?;
    // The direction of another touch of that name, of the part's model touch, or an axis.
    let named = f.touches.iter().filter(|o| o.face == t.face && o.step != at).map(|o| o.direction);
    let model = f
        .state
        .part
        .model_touches
        .iter()
        .filter(|m| m.face == t.face)
        .map(|m| Vector3::from(m.direction));
    let axes = [-t.direction, Vector3::x(), -Vector3::x(), Vector3::y(), -Vector3::y()];
    // It meets a face: its name is wrong.
    let fits = t
        .meets()
        .is_some_and(|m| m.travel <= t.reach && m.normal.dot(&t.direction).abs() >= MIN_STEEPNESS);
    let directions = named.chain(model).chain(axes);
    let direction = directions.filter(|_| !fits).find(|d| {
        let met = look(&mut cell, f.taught, &t.start, d, t.reach);
        *d != t.direction
            && matches!(met, Meets::Face(m) if m.travel <= t.reach && body_of_part(f, &m.body))
    });
    if let Some(direction) = direction {
        return Some(vec![change(f, at, t.feel(direction, &t.face))]);
    }
    let met = f.touches.iter().find(|o| o.step != at && t.shares_face(o));
    let face = met.map(|o| o.face.clone()).or_else(|| {
        let same =
            |m: &&crate::cell::ModelTouch| Vector3::from(m.direction).dot(&t.direction) > 0.99;
        f.state.part.model_touches.iter().find(same).map(|m| m.face.clone())
    })?;
    Some(vec![change(f, at, t.feel(t.direction, &face))])
}
