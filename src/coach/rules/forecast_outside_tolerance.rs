use super::help::{add, change, new_name, teach};
use super::layout::{WORTH_MM, add_model_touch};
use super::spread::{says_forecast, worst};
use crate::coach::facts::{Facts, Meets, Spread, apart, look};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{DEFAULT_SENSING_SPEED_MM_S, FindBlock, Instruction, PathKind};
use crate::session::Action;
use crate::text::{RuleName, number, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ForecastOutsideTolerance,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("forecast_outside_tolerance.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::Scatter, ..RuleTraits::USUAL },
};

fn check(f: &Facts) -> Vec<Finding> {
    let finds = (0..f.structure.finds.len()).filter(|&n| !super::short_baseline::is_cause(f, n));
    finds
        .filter_map(|n| {
            let (end, mm) = worst(f, n)?;
            let find = &f.structure.finds[n];
            let touches = f.found_touches(find);
            let most = Spread::of(find.may, &touches)?.worst_touch(&end)?;
            let t = &touches[most].touch;
            let rough = t.meets().map_or(1.0, |m| m.scatter);
            let why = (rough > 1.0).then(|| say::rough_edge(&t.face, number(rough, 0)));
            let forecast = says_forecast(&end, mm);
            let says = say::forecast_outside(f.step(find.step), forecast, f.step(t.step));
            Some(RULE.says(say::then(says, why)).step(f.id(find.step)).point(&end.point))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let find = f.find_at(f.place(finding.step)?)?;
    // A slower search scatters less; else one more touch.
    let fast = f.structure.sensing.iter().find(|s| {
        let feels = |i: &usize| *i > s.begin && s.end.is_none_or(|end| *i < end);
        s.speed_mm_s > DEFAULT_SENSING_SPEED_MM_S && find.feels.iter().any(feels)
    });
    if let Some(s) = fast {
        let (speed_mm_s, reach_mm) = (DEFAULT_SENSING_SPEED_MM_S, s.reach_mm);
        return Some(vec![change(f, s.begin, Instruction::SensingOn { speed_mm_s, reach_mm })]);
    }
    add_model_touch(f, find).or_else(|| another_touch(f, find))
}

/// One more touch beside the one that the weld depends on most, on the same face.
fn another_touch(f: &Facts, find: &FindBlock) -> Option<Vec<Action>> {
    let n = f.structure.finds.iter().position(|other| other.step == find.step)?;
    let touches = f.found_touches(find);
    let most = Spread::of(find.may, &touches)?.worst_touch(&worst(f, n)?.0)?;
    let t = touches[most].touch;
    let face = t.meets()?;
    let along = Vector3::z().cross(&t.direction).try_normalize(1e-9)?;
    let mut cell = f.cell.clone()?;
    let places: Vec<Pose> = std::iter::once(f.taught).chain(f.state.part.play.corners()).collect();
    let mut lands = |from: &Point3<f64>| {
        let free = touches.iter().all(|o| {
            o.touch.direction != t.direction
                || apart(&o.touch.start, from, &t.direction) >= WORTH_MM
        });
        free && places.iter().all(|pose| {
            let met = look(&mut cell, *pose, from, &t.direction, t.reach);
            matches!(met, Meets::Face(m) if m.travel <= t.reach && m.same_face(face))
        })
    };
    let by = (1..20).flat_map(|k| [WORTH_MM * f64::from(k), -WORTH_MM * f64::from(k)]);
    let from = by.map(|mm| t.start + along * mm).find(|p| lands(p))?;
    let name = new_name(f, &t.point);
    let feel = Instruction::Feel {
        from: name.clone(),
        way: PathKind::Linear,
        direction: t.direction,
        face: t.face.clone(),
    };
    Some(vec![teach(&name, from), add(t.step + 1, feel)])
}
