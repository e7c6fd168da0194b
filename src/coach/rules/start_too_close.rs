use super::help::teach;
use crate::cell::OwnMotions;
use crate::coach::facts::{Facts, Meeting, Meets, TouchFacts, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Point3;
use crate::session::Action;
use crate::text::{RuleName, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::StartTooClose,
    weight: Severity::Ruins,
    skill: Skill::PlanTouches,
    page: include_str!("start_too_close.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn hit(t: &TouchFacts) -> Option<(&str, bool)> {
    let touching = |m: &'_ Meets| matches!(m, Meets::Touching(_));
    if let Meets::Touching(body) = &t.taught {
        return Some((body, true));
    }
    let at = t.moved.iter().find(|m| touching(m))?;
    match at {
        Meets::Touching(body) => Some((body, false)),
        _ => None,
    }
}

/// Whether the wire may stand against the part when a search starts.
pub(super) fn is_wrong(t: &TouchFacts) -> bool {
    hit(t).is_some()
}

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        // A tip in the table, or in a body that it should stand above, is at a wrong height.
        .filter(|t| !matches!(t.taught, Meets::Touching(_)) || !super::touch_height::is_wrong(f, t))
        .filter_map(|t| hit(t).map(|h| (t, h)))
        .map(|(t, (body, already))| {
            let (step, met) = (f.step(t.step), say::body(body));
            let near = |m: &&Meeting| m.body == body && m.travel <= comes_nearer(f, t, m);
            let says = match t.meets().filter(near) {
                _ if already => say::starts_against(step, met),
                Some(m) => {
                    let [gap, nearer] = mm_against(m.travel, comes_nearer(f, t, m));
                    say::starts_too_close(step, gap, &t.face, nearer)
                }
                None => say::may_already_be_there(step, met),
            };
            RULE.says(says).step(f.id(t.step)).point(&t.point)
        })
        .collect()
}

/// How much nearer the place that a search meets may lie, mm.
fn comes_nearer(f: &Facts, t: &TouchFacts, m: &Meeting) -> f64 {
    let contact = t.start + t.direction * m.travel;
    let on_part = f.taught.inverse().point(&contact);
    let nearer = f.state.part.extremes().into_iter().map(|(pose, own)| {
        let own = own.get(&m.body).copied().unwrap_or_default();
        (contact - pose.point(&own.point(&on_part))).dot(&t.direction)
    });
    nearer.fold(0.0, f64::max)
}

/// Extra distance for a path there that is not straight, mm.
const SPARE_MM: f64 = 4.0;
/// Step by which the coach backs off, mm.
const STEP_MM: f64 = 2.0;

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == at)?;
    let mut cell = f.cell.clone()?;
    let places = f.state.part.extremes();
    let free = |m: &Meets| !matches!(m, Meets::Touching(_));
    let in_reach = |m: &Meets| matches!(m, Meets::Face(m) if m.travel <= t.reach);
    let mut all = |from: &Point3<f64>, good: &dyn Fn(&Meets) -> bool| {
        let drawn = (f.taught, OwnMotions::new());
        std::iter::once(&drawn).chain(&places).all(|(pose, own)| {
            cell.place_bodies(own);
            good(&look(&mut cell, *pose, from, &t.direction, t.reach))
        })
    };
    let near = (1..30)
        .map(|n| t.start - t.direction * (STEP_MM * f64::from(n)))
        .find(|p| all(p, &free))?;
    // With extra distance, if the face is still within reach.
    let spare = [SPARE_MM, SPARE_MM / 2.0].map(|mm| near - t.direction * mm);
    let at = spare.into_iter().find(|p| all(p, &in_reach)).unwrap_or(near);
    Some(vec![teach(&t.point, at)])
}
