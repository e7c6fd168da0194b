use super::help::teach;
use crate::coach::facts::{Facts, TouchFacts, apart, body_edge};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::geometry::Vector3;
use crate::locate::{MIN_BASELINE_MM, Touch, forecast};
use crate::routine::FindBlock;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ShortBaseline,
    title: "The touches on a face are too close together",
    asks: "Touches on one face are far enough apart for the forecast at the seam to stay inside tolerance.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("short_baseline.md"),
    hints: [
        "Two readings scatter by a tenth of a millimetre each. How far apart must they be to tell a small turn?",
        "Look at the two touches on one face, and at how long the face is.",
        "Move one of the two touches towards the other end of the face.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::Scatter, ..RuleTraits::USUAL },
};

/// Share of their face below which touches could be further apart (common practice, no source).
const SHARE_OF_FACE: f64 = 0.3;

fn check(f: &Facts) -> Vec<Finding> {
    f.structure.finds.iter().filter_map(|find| in_find(f, find)).collect()
}

fn in_find(f: &Facts, find: &FindBlock) -> Option<Finding> {
    let touches = f.touches_of(find);
    if !find.may.rotates()
        || touches.len() < find.may.count()
        || super::layout::misses_a_face(f, find)
    {
        return None;
    }
    if let Some((a, b)) = in_one_spot(&touches) {
        let says = format!(
            "{} feels where {} has felt: two touches in one spot tell no turn, and the find is refused.",
            f.cap(b.step),
            f.name(a.step)
        );
        return Some(RULE.says(says).step(f.id(b.step)).point(&b.point));
    }
    let sigma = f.sigma_of(find);
    let pair = cramped(f, &touches, sigma)?;
    let at_seam = worst_forecast(f, find, sigma);
    let (a, b) = (pair.0, pair.1);
    let forecast = at_seam
        .map_or(String::new(), |mm| format!(" The weld then scatters by {mm:.1} mm or more."));
    let says = format!(
        "{} and {} are only {:.0} mm apart on {}: too close to tell a turn.{forecast}",
        a.point,
        b.point,
        apart(&a.start, &b.start, &a.direction),
        a.face,
    );
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

/// The two touches furthest apart on a face of which they use only a small share, if this face alone
/// cannot determine the turn within tolerance at the far end of a seam.
fn cramped<'f>(
    f: &Facts,
    touches: &[&'f TouchFacts],
    sigma: f64,
) -> Option<(&'f TouchFacts, &'f TouchFacts)> {
    for a in touches {
        let on: Vec<_> = touches.iter().filter(|b| a.shares_face(b)).collect();
        let pairs = on.iter().flat_map(|b| on.iter().map(move |c| (**b, **c)));
        let length = |p: &(&TouchFacts, &TouchFacts)| apart(&p.0.start, &p.1.start, &p.0.direction);
        let Some(pair) = pairs
            .filter(|(b, c)| b.step < c.step && b.point != c.point)
            .max_by(|x, y| length(x).total_cmp(&length(y)))
        else {
            continue;
        };
        let baseline = length(&pair);
        let meeting = a.meets()?;
        let contact = a.start + a.direction * meeting.travel;
        let face = body_edge(
            &f.state.part,
            &meeting.body,
            &meeting.normal,
            &f.taught.inverse().point(&contact),
        )?;
        let middle = nalgebra::center(&pair.0.start, &pair.1.start);
        let spread = std::f64::consts::SQRT_2 * sigma / baseline.max(1e-6);
        let misses = f.state.part.seams.iter().any(|s| {
            [s.from, s.to]
                .iter()
                .any(|e| spread * (f.taught.point(e) - middle).norm() > s.tolerance_mm)
        });
        if misses && baseline < SHARE_OF_FACE * face {
            return Some(pair);
        }
    }
    None
}

/// Greatest standard deviation of a weld end across the wire with the whole layout, mm.
pub(in crate::coach) fn worst_forecast(f: &Facts, find: &FindBlock, sigma: f64) -> Option<f64> {
    let mut faces: Vec<&str> = Vec::new();
    let touches: Vec<Touch> = f
        .touches_of(find)
        .iter()
        .map(|t| {
            let face = faces.iter().position(|n| *n == t.face).unwrap_or_else(|| {
                faces.push(&t.face);
                faces.len() - 1
            });
            let contact = t.start + t.direction * t.meets().map_or(0.0, |m| m.travel);
            Touch::taught(face, t.direction, contact)
        })
        .collect();
    let forecast = forecast(find.may, &touches, sigma).ok()?;
    let seams = f.state.part.seams.iter().map(|s| s.at(&f.taught));
    seams
        .flat_map(|s| [(s.from, s.across_wire), (s.to, s.across_wire)])
        .map(|(at, across)| forecast.sigma_towards(&at, &across))
        .reduce(f64::max)
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let b = f.touches.iter().find(|t| t.step == at)?;
    let a = f.touches.iter().find(|t| t.step != at && t.shares_face(b))?;
    if a.point == b.point {
        return Some(vec![Action::DeleteStep { id: f.id(at) }]);
    }
    // The model layout uses the long free part of the face.
    let on_face = f
        .state
        .part
        .model_touches
        .iter()
        .filter(|m| Vector3::from(m.direction).dot(&b.direction) > 0.99);
    let far = on_face.max_by(|x, y| {
        let d = |m: &crate::cell::ModelTouch| apart(&a.start, &m.from, &b.direction);
        d(x).total_cmp(&d(y))
    })?;
    Some(vec![teach(&b.point, f.taught.point(&far.from))])
}
