use super::help::{above_of, add, clear_of, go, new_name, teach};
use crate::cell::{Body, FixturePlay, OwnMotions};
use crate::coach::facts::{Facts, FoundTouch, Meets, TouchFacts, WeldEnd, found_motion, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::{Point2, Point3, Pose, Vector3};
use crate::routine::PathKind;
use crate::session::Action;
use crate::text::{RuleName, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::DatumNotOfTheSeam,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("datum_not_of_the_seam.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Share of the tolerance that a body's own play may take (common practice, no source).
const SHARE: f64 = 0.5;

/// A weld end that misses because a body moves by itself.
struct Astray<'f> {
    end: WeldEnd,
    /// The body that moves.
    body: &'f str,
    miss_mm: f64,
}

/// The worst weld end of a find, if a body that moves by itself takes it too far off.
fn astray<'f>(f: &'f Facts<'_>, find: usize) -> Option<Astray<'f>> {
    let block = &f.structure.finds[find];
    let touches = f.found_touches(block);
    let ends: Vec<WeldEnd> =
        f.weld_ends().into_iter().filter(|end| end.find == Some(find)).collect();
    let mut worst: Option<Astray> = None;
    for body in &f.state.part.bodies {
        let Some(play) = body.play.filter(|play| *play != FixturePlay::default()) else { continue };
        for own in play.corners() {
            // From where the body lay to where it lies, in the work frame.
            let moved = f.taught * own * f.taught.inverse();
            let Some(found) =
                found_motion(block.may, &touches, |i| later(f, &touches[i], &body.name, &moved))
            else {
                continue;
            };
            for end in &ends {
                let carries = f.state.part.seams[end.seam].body.as_deref() == Some(&body.name);
                // All touches on it: then they do not tell enough, which is another mistake.
                let on_it = |t: &FoundTouch| t.touch.meets().is_some_and(|m| m.body == body.name);
                if carries && touches.iter().all(on_it) {
                    continue;
                }
                let truly = if carries { moved } else { Pose::identity() };
                let off = found.point(&end.at) - truly.point(&end.at);
                let miss_mm = off.dot(&end.line.across_wire).abs();
                let worse = worst.as_ref().is_none_or(|w| miss_mm > w.miss_mm);
                if worse && miss_mm > SHARE * end.tolerance_mm {
                    worst = Some(Astray { end: end.clone(), body: &body.name, miss_mm });
                }
            }
        }
    }
    worst
}

/// By how much later a touch is felt once this body has moved, mm.
fn later(f: &Facts, t: &FoundTouch, body: &str, moved: &Pose) -> f64 {
    let Some(m) = t.touch.meets().filter(|m| m.body == body) else { return 0.0 };
    let normal = f.taught.vector(&m.normal);
    moved.displacement(&t.contact).dot(&normal) / normal.dot(&t.touch.direction)
}

fn check(f: &Facts) -> Vec<Finding> {
    let finds = 0..f.structure.finds.len();
    finds
        .filter_map(|n| {
            let Astray { end, body, miss_mm } = astray(f, n)?;
            let step = f.structure.finds[n].step;
            let touches = f.found_touches(&f.structure.finds[n]);
            let mut met: Vec<&str> =
                touches.iter().filter_map(|t| t.touch.meets()).map(|m| m.body.as_str()).collect();
            met.sort_unstable();
            met.dedup();
            let seam = &f.state.part.seams[end.seam];
            let met = say::all_of(met.into_iter().map(say::body));
            let (body, name) = (say::body(body), say::body(&seam.name));
            let [miss, most] = mm_against(miss_mm, SHARE * end.tolerance_mm);
            let says = say::datum_not_of_the_seam(f.step(step), met, body, name, miss, most);
            Some(RULE.says(says).step(f.id(step)).point(&end.point))
        })
        .collect()
}

/// Distances of the coach's start from the face that it tries, mm, and of its touches from the end of a
/// body (common practice, no source).
const GAPS_MM: [f64; 3] = [12.0, 16.0, 20.0];
const FROM_END_MM: f64 = 25.0;

/// Feels the body that carries the seam, from above the part: across the seam, and along it where that
/// body is large enough.
fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let n = f.structure.finds.iter().position(|find| find.step == at)?;
    let end = astray(f, n)?.end;
    let body = f.state.part.body(f.state.part.seams[end.seam].body.as_deref()?)?;
    let across = end.line.across;
    let mut edits = Vec::new();
    // From the last to the first, so that the places of the steps before stay.
    for t in f.touches_of(&f.structure.finds[n]).into_iter().rev() {
        let elsewhere = t.meets().is_some_and(|m| m.body != body.name);
        if !elsewhere {
            continue;
        }
        let Some(start) = on_body(f, t, body) else {
            if t.direction.dot(&across).abs() < 0.7 {
                continue;
            }
            return None;
        };
        let (above, clear) = (
            new_name(f, &format!("{}-above", t.point)),
            new_name(f, &format!("{}-clear", t.point)),
        );
        edits.push(teach(&t.point, start));
        edits.push(teach(&above, above_of(&start, &t.direction)));
        edits.push(teach(&clear, clear_of(&start, &t.direction)));
        edits.push(add(t.step + 1, go(&clear, PathKind::Linear)));
        edits.push(add(t.step, go(&above, PathKind::Joint)));
    }
    (!edits.is_empty()).then_some(edits)
}

/// A start from which the same search meets this body, wherever part and body may lie.
fn on_body(f: &Facts, t: &TouchFacts, body: &Body) -> Option<Point3<f64>> {
    let along = Vector3::z().cross(&t.direction).try_normalize(1e-9)?;
    let corner = |at: Point2<f64>| f.taught.point(&Point3::new(at.x, at.y, 0.0)).coords;
    let spans = |d: Vector3<f64>| {
        let all = body.outline.corners.iter().map(move |c| corner(c.at).dot(&d));
        Some([all.clone().reduce(f64::min)?, all.reduce(f64::max)?])
    };
    let ([from, to], [near, _]) = (spans(along)?, spans(t.direction)?);
    let margin = FROM_END_MM.min((to - from) / 4.0);
    let beside = t.start.coords.dot(&along).clamp(from + margin, to - margin);
    let z = f.taught.translation().z + f64::midpoint(body.z[0], body.z[1]);
    let mut cell = f.cell.clone()?;
    let normal = |met| match met {
        Meets::Face(m) if m.body == body.name && m.travel <= t.reach => Some(m.normal),
        _ => None,
    };
    let places = f.state.part.extremes();
    let mut lands = |start: &Point3<f64>| {
        cell.place_bodies(&OwnMotions::new());
        let drawn = normal(look(&mut cell, f.taught, start, &t.direction, t.reach));
        places.iter().all(|(pose, own)| {
            cell.place_bodies(own);
            let met = normal(look(&mut cell, *pose, start, &t.direction, t.reach));
            drawn.zip(met).is_some_and(|(drawn, met)| drawn.dot(&met) > 0.99)
        })
    };
    let starts = GAPS_MM.map(|gap| along * beside + t.direction * (near - gap));
    starts.map(|level| Point3::new(level.x, level.y, z)).into_iter().find(|start| lands(start))
}
