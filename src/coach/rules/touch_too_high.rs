use super::help::teach;
use crate::coach::facts::{Facts, Meets, TouchFacts, body_z, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::geometry::Point3;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::TouchTooHigh,
    title: "The wire tip is at the wrong height for the face",
    asks: "While it searches, the wire tip is below the top edge by a margin, and above the table by a margin.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("touch_too_high.md"),
    hints: [
        "Seen from the side, where on the face will the wire meet it?",
        "Look at the elevation: compare the height of the point with the top edge and the table.",
        "Teach the point again, so that the tip stands about half-way up the face.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Least distance of the tip below the top edge and above the table, mm: about one wire diameter
/// (common practice, no source).
const MARGIN_MM: f64 = 1.0;
/// Distance of the tip below the top edge of a tall part in the coach's correction, mm (common
/// practice, no source).
const BELOW_TOP_MM: f64 = 8.0;
/// Slope above which a search measures height, not a side.
const STEEP: f64 = 0.5;

/// The body that the search would meet at half its height, if only the height is wrong.
fn meant(f: &Facts, t: &TouchFacts) -> Option<[f64; 2]> {
    if t.direction.z.abs() > STEEP {
        return None;
    }
    if let Meets::Face(m) = &t.taught {
        return body_z(&f.state.part, &m.body);
    }
    if !matches!(t.taught, Meets::Nothing | Meets::Other(_)) {
        return None;
    }
    let mut cell = f.cell.clone()?;
    let mut best: Option<(f64, [f64; 2])> = None;
    for body in &f.state.part.bodies {
        // At half height; beside a part too tall for the nozzle just below its top edge.
        for z in [f64::midpoint(body.z[0], body.z[1]), body.z[1] - BELOW_TOP_MM] {
            let at = Point3::new(t.start.x, t.start.y, f.taught.translation().z + z);
            if let Meets::Face(m) = look(&mut cell, f.taught, &at, &t.direction, t.reach)
                && m.body == body.name
                && m.travel <= t.reach
                && best.is_none_or(|(d, _)| m.travel < d)
            {
                best = Some((m.travel, body.z));
            }
        }
    }
    best.map(|(_, z)| z)
}

/// Whether a search that meets nothing would meet its face at another height.
pub(super) fn is_height(f: &Facts, t: &TouchFacts) -> bool {
    meant(f, t).is_some()
}

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter_map(|t| {
            let [low, high] = meant(f, t)?;
            let (up, down) = (high - t.start.z, t.start.z - low.max(0.0));
            let play = f.state.part.play.dz;
            let says = if up < MARGIN_MM + play {
                format!(
                    "{} has the wire tip {} the top edge of {}.",
                    f.cap(t.step),
                    above(up),
                    t.face
                )
            } else if down < MARGIN_MM.min(if low > 0.0 { 0.0 } else { MARGIN_MM }) - 1e-9
                || t.start.z < low
            {
                format!(
                    "{} has the wire tip too low: it scrapes the table or passes under {}.",
                    f.cap(t.step),
                    t.face
                )
            } else {
                return None;
            };
            Some(RULE.says(says).step(f.id(t.step)).point(&t.point))
        })
        .collect()
}

fn above(up: f64) -> String {
    if up <= 0.0 { format!("{:.0} mm above", -up) } else { format!("only {up:.1} mm below") }
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == at)?;
    let [low, high] = meant(f, t)?;
    let z = f64::midpoint(low, high).max(high - BELOW_TOP_MM);
    Some(vec![teach(&t.point, Point3::new(t.start.x, t.start.y, z))])
}
