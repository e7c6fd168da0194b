use super::help::teach;
use crate::cell::TABLE;
use crate::coach::facts::{Facts, Meeting, Meets, TouchFacts, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::{Point3, Pose};
use crate::session::Action;
use crate::text::{RuleName, mm, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::TouchHeight,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("touch_height.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Least distance of the tip below the top edge and above the table, mm: about one wire diameter
/// (common practice, no source).
const MARGIN_MM: f64 = 1.0;
/// Distances of the tip below the top edge of a body that the coach tries beside its half height, mm
/// (common practice, no source).
const BELOW_TOP_MM: [f64; 3] = [8.0, 5.0, 3.0];
/// Slope above which a search measures height, not a side.
const STEEP: f64 = 0.5;

/// What is wrong with the height of a tip.
enum Wrong {
    /// It passes over this body by so many mm.
    Over(String, f64),
    /// It is so far below the top edge where the part was taught, mm, and so far at the lowest that the
    /// part may lie.
    NearEdge([f64; 2]),
    /// It is so far above the table, mm.
    NearTable(f64),
    /// The nozzle meets this body before the wire touches.
    Nozzle(String),
    /// It stands in this body, with a face of another one above.
    Inside(String),
}

/// What is wrong with the height of a touch, and a height that is right. `None` where no other height
/// helps.
fn wrong(f: &Facts, t: &TouchFacts) -> Option<(Wrong, f64)> {
    if t.direction.z.abs() > STEEP {
        return None;
    }
    let tip = t.start.z;
    let near_table = || (tip < MARGIN_MM).then_some(Wrong::NearTable(tip));
    let wrong = match &t.taught {
        Meets::Face(m) => passed_over(f, t, m.travel)
            .filter(|(over, _)| *over != m.body && !meant(f, t, m, over))
            .map(|(over, by)| Wrong::Over(over, by))
            .or_else(|| {
                let below = below_edge(f, t, m, tip)?;
                (below[1] < MARGIN_MM).then_some(Wrong::NearEdge(below))
            })
            .or_else(|| t.moved.iter().find_map(nozzle_meets))
            .or_else(near_table)?,
        Meets::Nothing => passed_over(f, t, t.reach)
            .map(|(over, by)| Wrong::Over(over, by))
            .or_else(near_table)?,
        Meets::Other(m) => passed_over(f, t, m.travel)
            .map(|(over, by)| Wrong::Over(over, by))
            .or_else(near_table)?,
        Meets::Nozzle(_) => nozzle_meets(&t.taught)?,
        Meets::Touching(body) if body == TABLE => Wrong::NearTable(tip),
        Meets::Touching(body) => deep_inside(f, t).then(|| Wrong::Inside(body.clone()))?,
    };
    Some((wrong, better(f, t)?))
}

/// Whether another height would be right for a touch: then the height is its mistake.
pub(super) fn is_wrong(f: &Facts, t: &TouchFacts) -> bool {
    wrong(f, t).is_some()
}

fn nozzle_meets(met: &Meets) -> Option<Wrong> {
    match met {
        Meets::Nozzle(body) => Some(Wrong::Nozzle(body.clone())),
        _ => None,
    }
}

/// The search from another height, with the part at this pose.
fn at_height(f: &Facts, t: &TouchFacts, pose: Pose, z: f64) -> Option<Meets> {
    let from = Point3::new(t.start.x, t.start.y, z);
    Some(look(&mut f.cell.clone()?, pose, &from, &t.direction, t.reach))
}

/// Heights at which a side of this body can be touched, work frame, mm.
fn heights([low, high]: [f64; 2], f: &Facts) -> impl Iterator<Item = f64> {
    let lift = f.taught.translation().z;
    let below = BELOW_TOP_MM.into_iter().map(move |mm| high - mm).filter(move |z| *z > low);
    std::iter::once(f64::midpoint(low, high)).chain(below).map(move |z| z + lift)
}

/// The nearest body that the tip passes over on its first `travel` mm, and by how much, mm.
fn passed_over(f: &Facts, t: &TouchFacts, travel: f64) -> Option<(String, f64)> {
    let mut nearest: Option<(Meeting, f64)> = None;
    for body in &f.state.part.bodies {
        if f.taught.translation().z + body.z[0] > t.start.z {
            continue;
        }
        for z in heights(body.z, f).filter(|z| *z < t.start.z) {
            let Some(Meets::Face(m)) = at_height(f, t, f.taught, z) else { continue };
            let before = nearest.as_ref().map_or(travel.min(t.reach), |(n, _)| n.travel);
            let over = top(f, t, &m, f.taught).map_or(-1.0, |top| t.start.z - top);
            if m.body == body.name && m.travel < before && over >= 0.0 {
                nearest = Some((m, over));
            }
        }
    }
    nearest.map(|(m, over)| (m.body, over))
}

/// Whether a search that passes over a body is meant for what it touches behind it: that has a play of
/// its own, or the face goes by a name that touches of the body in front do not have.
fn meant(f: &Facts, t: &TouchFacts, behind: &Meeting, over: &str) -> bool {
    let part = &f.state.part;
    if part.body(&behind.body).is_some_and(|b| b.play.is_some()) {
        return true;
    }
    let touches = |m: &Meeting| m.body == over;
    let named = f.touches.iter().any(|o| o.face == t.face && o.meets().is_some_and(touches));
    let drawn = || {
        let Some(mut cell) = f.cell.clone() else { return false };
        let of_name = part.model_touches.iter().filter(|m| m.face == t.face);
        let mut met =
            of_name.map(|m| look(&mut cell, f.taught, &m.from, &m.direction.into(), t.reach));
        met.any(|met| matches!(met, Meets::Face(m) if touches(&m)))
    };
    !named && !drawn()
}

/// Height of the top edge at a contact with the part at this pose, work frame, mm.
fn top(f: &Facts, t: &TouchFacts, m: &Meeting, pose: Pose) -> Option<f64> {
    let body = f.state.part.body(&m.body)?;
    let contact = f.taught.inverse().point(&(t.start + t.direction * m.travel));
    Some(pose.point(&Point3::new(contact.x, contact.y, body.z[1])).z)
}

/// How far a tip is below the top edge where the part was taught, and at the lowest that it may lie, mm.
fn below_edge(f: &Facts, t: &TouchFacts, m: &Meeting, tip: f64) -> Option<[f64; 2]> {
    let taught = top(f, t, m, f.taught)?;
    let own = f.state.part.body(&m.body).and_then(|b| b.play).map_or(0.0, |play| play.dz);
    let places = places(f, t);
    let lowest = places.filter_map(|pose| top(f, t, m, pose)).fold(taught, f64::min) - own;
    Some([taught - tip, lowest - tip])
}

/// The extreme poses of the play, as far as they concern a touch.
fn places(f: &Facts, t: &TouchFacts) -> impl Iterator<Item = Pose> {
    // A touch that rides with a coarse place does not meet the whole play.
    let rides = f.structure.follow_at(t.step).is_some();
    f.state.part.play.corners().into_iter().filter(move |_| !rides)
}

/// Whether the wire still stands in a body when it backs off by the whole reach.
fn deep_inside(f: &Facts, t: &TouchFacts) -> bool {
    let back = t.start - t.direction * t.reach;
    let Some(mut cell) = f.cell.clone() else { return false };
    matches!(look(&mut cell, f.taught, &back, &t.direction, t.reach), Meets::Touching(_))
}

/// A height at which the same search meets the nearest face of the part as it should, wherever the part
/// may lie.
fn better(f: &Facts, t: &TouchFacts) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for z in f.state.part.bodies.iter().flat_map(|b| heights(b.z, f)) {
        if z < MARGIN_MM {
            continue;
        }
        let Some(Meets::Face(m)) = at_height(f, t, f.taught, z) else { continue };
        let nearer = m.travel <= t.reach && best.is_none_or(|(travel, _)| m.travel < travel - 1e-6);
        if nearer
            && below_edge(f, t, &m, z).is_some_and(|[_, lowest]| lowest >= MARGIN_MM)
            && places(f, t).all(|pose| !matches!(at_height(f, t, pose, z), Some(Meets::Nozzle(_))))
        {
            best = Some((m.travel, z));
        }
    }
    best.map(|(_, z)| z)
}

fn check(f: &Facts) -> Vec<Finding> {
    let of = |t: &TouchFacts| {
        let (wrong, _) = wrong(f, t)?;
        let (step, face, least) = (f.step(t.step), &t.face, mm(MARGIN_MM, 0));
        let says = match wrong {
            Wrong::Over(body, by) => {
                let (by, body) = (mm(by, 1), say::body(&body));
                match &t.taught {
                    Meets::Face(m) if m.travel <= t.reach => {
                        say::tip_over_and_behind(step, by, body, face, say::body(&m.body))
                    }
                    _ => say::tip_over(step, by, body, face),
                }
            }
            Wrong::NearEdge([taught, _]) if taught < MARGIN_MM => {
                let [below, least] = mm_against(taught.max(0.0), MARGIN_MM);
                say::tip_near_edge(step, below, face, least)
            }
            Wrong::NearEdge([taught, lowest]) => {
                let (below, lower) = (mm(taught, 1), mm(taught - lowest, 1));
                say::edge_may_lie_lower(step, below, face, lower, least)
            }
            Wrong::NearTable(above) if above < 0.0 => say::tip_in_table(step, least),
            Wrong::NearTable(above) => {
                let [above, least] = mm_against(above, MARGIN_MM);
                say::tip_near_table(step, above, least)
            }
            Wrong::Nozzle(body) => say::tip_too_low(step, say::body(&body), face),
            Wrong::Inside(body) => say::tip_inside(step, say::body(&body)),
        };
        Some(RULE.says(says).step(f.id(t.step)).point(&t.point))
    };
    f.touches.iter().filter_map(of).collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == at)?;
    let (_, z) = wrong(f, t)?;
    Some(vec![teach(&t.point, Point3::new(t.start.x, t.start.y, z))])
}
