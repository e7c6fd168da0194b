use super::help::{against, teach};
use crate::cell::{STANDOFF_MM, SeamLine, SeamMiss};
use crate::coach::facts::{Facts, WeldEnd, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::geometry::Point3;
use crate::session::{Action, Lying};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::WeldPointOffSeam,
    title: "A weld point is not on the seam",
    asks: "Weld points are taught on a seam, within its tolerance, in height as well.",
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("weld_point_off_seam.md"),
    hints: [
        "On a part that has not moved, where does this weld point lie against the seam?",
        "Look at the weld point on the plan and in the elevation, with the part where it was taught.",
        "Teach the weld point again, with the wire tip on the seam.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// How far beyond the end of its seam a weld point may lie, mm (common practice, no source).
const BEYOND_MM: f64 = 10.0;

/// The seam of a weld end, with part and bodies as they lay when its point was taught.
fn seam_of(f: &Facts, end: &WeldEnd, lying: &Lying) -> SeamLine {
    let seam = &f.state.part.seams[end.seam];
    let own = seam.body.as_ref().and_then(|body| lying.bodies.get(body));
    seam.at(&(lying.part * own.copied().unwrap_or_default()))
}

/// How far a weld end is taught off its seam.
struct Off {
    line: SeamLine,
    miss: SeamMiss,
    /// How far it lies beyond an end of the seam, mm.
    beyond_mm: f64,
}

fn off(f: &Facts, end: &WeldEnd) -> Option<Off> {
    let line = seam_of(f, end, f.state.taught.stored_for(&end.point));
    let miss = line.miss(&end.at);
    let beyond_mm = (-miss.along_mm).max(miss.along_mm - (line.to - line.from).norm());
    let off = !miss.lands(end.tolerance_mm) || beyond_mm > BEYOND_MM;
    off.then_some(Off { line, miss, beyond_mm })
}

/// Whether step `i` is a weld step whose point is off its seam.
pub(super) fn is_wrong(f: &Facts, i: usize) -> bool {
    f.weld_ends().iter().any(|end| end.step == i && off(f, end).is_some())
}

/// Every weld point that is off its seam, once.
fn all_off(f: &Facts) -> Vec<(WeldEnd, Off)> {
    let mut all: Vec<(WeldEnd, Off)> = Vec::new();
    for end in f.weld_ends() {
        if let Some(off) = off(f, &end)
            && all.iter().all(|(e, _)| e.point != end.point)
        {
            all.push((end, off));
        }
    }
    all
}

fn check(f: &Facts) -> Vec<Finding> {
    let of = |(end, off): &(WeldEnd, Off)| {
        let Off { line, miss, beyond_mm } = off;
        let seam = &f.state.part.seams[end.seam];
        let (point, name, allowed) = (&end.point, &seam.name, end.tolerance_mm);
        let says = if miss.lands(allowed) {
            format!("{point} is taught {beyond_mm:.0} mm beyond the end of {name}: expected on it.")
        } else {
            let level = (end.at - line.from).dot(&line.across);
            let taught = where_it_lies(level, miss.height_mm);
            if miss.across_mm.abs() > allowed {
                let [by, allowed] = against(miss.across_mm, allowed);
                format!(
                    "{point} is taught {taught} {name}: the wire, which leans by {:.0}°, passes it by {by} mm, allowed {allowed} mm.",
                    seam.work_angle_deg
                )
            } else {
                let [by, allowed] = against(miss.standoff_mm, STANDOFF_MM);
                format!(
                    "{point} is taught {taught} {name}: the tip-to-work distance is off by {by} mm, allowed {allowed} mm."
                )
            }
        };
        RULE.says(says).step(f.id(end.step)).point(point)
    };
    all_off(f).iter().map(of).collect()
}

/// "2.0 mm away from the upright plate and 3.0 mm above".
fn where_it_lies(level: f64, height: f64) -> String {
    let beside = match level {
        v if v <= -0.05 => Some(format!("{:.1} mm away from the upright plate of", -v)),
        v if v >= 0.05 => Some(format!("{v:.1} mm into the upright plate of")),
        _ => None,
    };
    let above = match height {
        v if v <= -0.05 => Some(format!("{:.1} mm below", -v)),
        v if v >= 0.05 => Some(format!("{v:.1} mm above")),
        _ => None,
    };
    match (beside, above) {
        (Some(a), Some(b)) => format!("{} and {b}", a.trim_end_matches(" of")),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => "beside".into(),
    }
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    // In a paused run the point would be stored by its offset.
    if f.state.paused.is_some() {
        return None;
    }
    let (end, off) =
        all_off(f).into_iter().find(|(end, _)| Some(&end.point) == finding.point.as_ref())?;
    let lying = f.state.taught.stored_for(&end.point);
    let here = still(&lying.part, &f.state.work_from_part) && lying.bodies == f.state.own_motions;
    // Taught with the part where it was taught, bodies as drawn.
    let drawn = Lying { part: lying.part, ..Lying::default() };
    let line = if here { off.line } else { seam_of(f, &end, &drawn) };
    let back = (!here).then(|| f.state.by_hand([Action::place_part(lying.part)]));
    Some(back.into_iter().flatten().chain([teach(&end.point, on_seam(&line, &end.at))]).collect())
}

/// The place on a seam nearest to a point.
fn on_seam(line: &SeamLine, p: &Point3<f64>) -> Point3<f64> {
    let along = (p - line.from).dot(&line.along).clamp(0.0, (line.to - line.from).norm());
    line.from + line.along * along
}
