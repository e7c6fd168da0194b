use super::help::teach;
use super::layout::layout_of;
use super::spread::{least_inside, says_forecast, worst};
use crate::coach::facts::{Facts, FoundTouch, Meets, Spread, TouchFacts, apart, body_extent, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::geometry::{Point3, Vector3};
use crate::locate::MIN_BASELINE_MM;
use crate::routine::FindBlock;
use crate::session::Action;
use crate::text::{RuleName, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ShortBaseline,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("short_baseline.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::Scatter, ..RuleTraits::USUAL },
};

/// Distance of the coach's touches from the ends of a face, mm, and at most this share of its length
/// (common practice, no source).
const FROM_END_MM: f64 = 25.0;
const FROM_END_SHARE: f64 = 0.15;

fn check(f: &Facts) -> Vec<Finding> {
    let finds = f.structure.finds.iter().enumerate();
    finds.filter_map(|(n, find)| in_one_spot_of(f, find).or_else(|| too_close(f, n))).collect()
}

fn in_one_spot_of(f: &Facts, find: &FindBlock) -> Option<Finding> {
    let touches = f.touches_of(find);
    if !find.may.rotates()
        || touches.len() < find.may.count()
        || super::layout::misses_a_face(f, find)
    {
        return None;
    }
    let (a, b) = in_one_spot(&touches)?;
    let says = say::in_one_spot(f.step(b.step), f.step(a.step));
    Some(RULE.says(says).step(f.id(b.step)).point(&b.point))
}

/// Two touches of a face that is touched in this one spot alone.
fn in_one_spot<'f>(touches: &[&'f TouchFacts]) -> Option<(&'f TouchFacts, &'f TouchFacts)> {
    touches.iter().find_map(|a| {
        let on = || touches.iter().filter(|b| a.shares_face(b));
        let spot = on().all(|b| apart(&a.start, &b.start, &a.direction) < MIN_BASELINE_MM);
        on().find(|b| spot && b.step > a.step).map(|b| (*a, *b))
    })
}

fn too_close(f: &Facts, find: usize) -> Option<Finding> {
    let pair = cramped(f, find)?;
    let (end, forecast) = worst(f, find)?;
    let [a, b] = pair.touches;
    let apart = mm(apart(&a.start, &b.start, &a.direction), 0);
    let close = say::touches_close(&a.point, &b.point, apart, &a.face, mm(pair.length_mm, 0));
    let says = say::then(close, Some(says_forecast(&end, forecast)));
    Some(RULE.says(says).step(f.id(b.step)).point(&b.point))
}

/// Whether a longer baseline on one face alone brings the forecast of this find inside tolerance.
pub(super) fn is_cause(f: &Facts, find: usize) -> bool {
    cramped(f, find).is_some()
}

/// Two touches that stand too close together on their face.
struct Pair<'f> {
    /// The later one last.
    touches: [&'f TouchFacts; 2],
    /// Where their contacts may stand instead, work frame, mm.
    apart: [Point3<f64>; 2],
    /// Length of the face along them, mm.
    length_mm: f64,
}

/// The pair that, moved to the ends of its face, does most for a forecast outside tolerance; `None`
/// where no such pair brings it inside.
fn cramped<'f>(f: &'f Facts<'f>, find: usize) -> Option<Pair<'f>> {
    worst(f, find)?;
    let block = &f.structure.finds[find];
    let touches = f.found_touches(block);
    let pairs = touches.iter().filter_map(|a| widest(f, &touches, a));
    let with = pairs.filter_map(|pair| {
        let moved: Vec<FoundTouch> = touches.iter().map(|t| moved(t, &pair)).collect();
        let spread = Spread::of(block.may, &moved)?;
        Some((least_inside(f, find, &spread)?, pair))
    });
    with.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, pair)| pair)
}

/// A touch as it would be with the pair apart.
fn moved<'f>(t: &FoundTouch<'f>, pair: &Pair) -> FoundTouch<'f> {
    let new = pair.touches.iter().position(|o| o.step == t.touch.step);
    let contact = new.map_or(t.contact, |n| pair.apart[n]);
    FoundTouch { contact, ..t.clone() }
}

/// The two touches furthest apart on the face that `a` touches first, and the places they could have.
fn widest<'f>(f: &Facts, touches: &[FoundTouch<'f>], a: &FoundTouch<'f>) -> Option<Pair<'f>> {
    let on: Vec<&FoundTouch> = touches.iter().filter(|b| a.touch.shares_face(b.touch)).collect();
    // Each face once.
    if on.first()?.touch.step != a.touch.step {
        return None;
    }
    let pairs = on.iter().flat_map(|b| on.iter().map(move |c| (*b, *c)));
    let length = |p: &(&FoundTouch, &FoundTouch)| (p.1.contact - p.0.contact).norm();
    let (b, c) = pairs
        .filter(|(b, c)| b.touch.step < c.touch.step && b.touch.point != c.touch.point)
        .max_by(|x, y| length(x).total_cmp(&length(y)))?;
    let meeting = b.touch.meets()?;
    let normal = f.taught.vector(&meeting.normal);
    // Along the face, as the touches stand; of a side level.
    let between = c.contact - b.contact;
    let level =
        if normal.z.abs() < 0.5 { Vector3::new(between.x, between.y, 0.0) } else { between };
    let along = (level - normal * level.dot(&normal)).try_normalize(1e-6)?;
    let back = f.taught.inverse();
    let on_part = back.point(&b.contact);
    let [from, to] =
        body_extent(&f.state.part, &meeting.body, &meeting.normal, &on_part, &back.vector(&along))?;
    let length_mm = to - from;
    let margin = FROM_END_MM.min(FROM_END_SHARE * length_mm);
    let apart = between.dot(&along);
    let (low, high) = ((from + margin).min(0.0), (to - margin).max(apart));
    let touches = [b.touch, c.touch];
    Some(Pair {
        touches,
        apart: [b.contact + along * low, c.contact + along * (high - apart)],
        length_mm,
    })
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let b = f.touches.iter().find(|t| t.step == at)?;
    let block = f.structure.find_of(at)?;
    if in_one_spot_of(f, block).is_some() {
        let a = f.touches.iter().find(|t| t.step != at && t.shares_face(b))?;
        if a.point == b.point {
            return Some(vec![Action::DeleteStep { id: f.id(at) }]);
        }
        return Some(vec![teach(&b.point, model_start(f, block, a, b)?)]);
    }
    let find = f.structure.finds.iter().position(|find| find.feels.contains(&at))?;
    let pair = cramped(f, find)?;
    let block = &f.structure.finds[find];
    let touches = f.found_touches(block);
    let inside = |starts: [Point3<f64>; 2]| {
        let back = |n: usize| {
            pair.touches[n].direction * pair.touches[n].meets().map_or(0.0, |m| m.travel)
        };
        let apart = [starts[0] + back(0), starts[1] + back(1)];
        let pair = Pair { apart, ..pair };
        let moved: Vec<FoundTouch> = touches.iter().map(|t| moved(t, &pair)).collect();
        Spread::of(block.may, &moved).is_some_and(|s| least_inside(f, find, &s).is_some())
    };
    let lands = |t: &TouchFacts, start: &Point3<f64>| {
        let Some(mut cell) = f.cell.clone() else { return false };
        let met = look(&mut cell, f.taught, start, &t.direction, t.reach);
        matches!(met, Meets::Face(m) if t.meets().is_some_and(|face| m.same_face(face)))
    };
    let [first, second] = pair.touches;
    let stretched = [0, 1].map(|n: usize| {
        let t = pair.touches[n];
        pair.apart[n] - t.direction * t.meets().map_or(0.0, |m| m.travel)
    });
    // The model layout uses the long free part of the face. The second touch alone, if that will do.
    let model = model_start(f, block, first, second);
    let one = model.into_iter().chain([stretched[1]]).map(|to| [first.start, to]);
    let both = std::iter::once([stretched[0], stretched[1]]);
    let [from, to] =
        one.chain(both).find(|[a, b]| lands(first, a) && lands(second, b) && inside([*a, *b]))?;
    let moves = [(first, from), (second, to)].into_iter().filter(|(t, start)| t.start != *start);
    Some(moves.map(|(t, start)| teach(&t.point, start)).collect())
}

/// The start of the model touch on the face of `b` that is furthest from `a`.
fn model_start(f: &Facts, find: &FindBlock, a: &TouchFacts, b: &TouchFacts) -> Option<Point3<f64>> {
    let model = layout_of(f, find);
    let on_face = model.filter(|m| Vector3::from(m.direction).dot(&b.direction) > 0.99);
    let far = on_face.max_by(|x, y| {
        let d = |m: &crate::cell::ModelTouch| apart(&a.start, &m.from, &b.direction);
        d(x).total_cmp(&d(y))
    })?;
    Some(f.taught.point(&far.from))
}
