use super::help::teach;
use crate::cell::{END_MM, Joint, STANDOFF_MM, Seam, SeamLine, SeamMiss};
use crate::coach::facts::{Facts, WeldEnd, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Point3;
use crate::session::{Action, Lying};
use crate::text::{RuleName, Sentence, against, angle, mm, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::WeldPointOffSeam,
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("weld_point_off_seam.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

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
    /// How far it lies beyond the end of the seam, mm; negative short of it.
    beyond_mm: f64,
}

fn off(f: &Facts, end: &WeldEnd) -> Option<Off> {
    let line = seam_of(f, end, f.state.taught.stored_for(&end.point));
    let miss = line.miss(&end.at);
    let beyond = [-miss.along_mm, miss.along_mm - (line.to - line.from).norm()];
    // A point on the way has no end to fall short of.
    let beyond_mm = end.end.map_or(beyond[0].max(beyond[1]).max(0.0), |end| beyond[end]);
    let off = !miss.lands_beside(end.tolerance_mm) || beyond_mm.abs() > END_MM;
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
        let (point, allowed) = (&end.point, end.tolerance_mm);
        let says = if miss.lands_beside(allowed) {
            let [by, most] = against(mm(beyond_mm.abs(), 0), mm(END_MM, 0));
            let name = say::body(&seam.name);
            if *beyond_mm > 0.0 {
                say::beyond_the_seam(point, by, name, most)
            } else {
                say::short_of_the_seam(point, by, name, most)
            }
        } else {
            let level = (end.at - line.from).dot(&line.across);
            let taught = where_it_lies(seam, level, miss.height_mm);
            if miss.across_mm.abs() > allowed {
                let [by, allowed] = mm_against(miss.across_mm, allowed);
                let leans = angle(seam.work_angle_deg().to_radians(), 0);
                say::wire_passes_by(point, taught, leans, by, allowed)
            } else {
                let [by, allowed] = mm_against(miss.standoff_mm, STANDOFF_MM);
                say::work_too_far(point, taught, by, allowed)
            }
        };
        RULE.says(says).step(f.id(end.step)).point(point)
    };
    all_off(f).iter().map(of).collect()
}

/// "2.0 mm away from the upright plate of the rail seam and 3.0 mm above".
fn where_it_lies(of: &Seam, level: f64, height: f64) -> Sentence {
    let seam = || say::body(&of.name);
    let size = |v: f64| mm(v.abs(), 1);
    let beside = (level.abs() >= 0.05).then(|| {
        let (by, away) = (size(level), level < 0.0);
        match &of.joint {
            Joint::Fillet if away => say::away_from_plate(by, seam()),
            Joint::Fillet => say::into_plate(by, seam()),
            Joint::Lap if away => say::away_from_sheet(by, seam()),
            Joint::Lap => say::into_sheet(by, seam()),
            Joint::Corner if away => say::away_from_upper(by, seam()),
            Joint::Corner => say::into_upper(by, seam()),
            Joint::Butt(gap) => {
                say::towards_wall(by, say::body(&gap.walls[usize::from(away)]), seam())
            }
        }
    });
    match (beside, height) {
        (None, v) if v.abs() < 0.05 => say::beside_seam(seam()),
        (None, v) if v < 0.0 => say::below_seam(size(v), seam()),
        (None, v) => say::above_seam(size(v), seam()),
        (Some(beside), v) if v.abs() < 0.05 => beside,
        (Some(beside), v) if v < 0.0 => say::and(beside, say::below(size(v))),
        (Some(beside), v) => say::and(beside, say::above(size(v))),
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
    let at = match end.end {
        Some(n) if off.beyond_mm.abs() > END_MM => [line.from, line.to][n],
        _ => on_seam(&line, &end.at),
    };
    Some(back.into_iter().flatten().chain([teach(&end.point, at)]).collect())
}

/// The place on a seam nearest to a point.
fn on_seam(line: &SeamLine, p: &Point3<f64>) -> Point3<f64> {
    let along = (p - line.from).dot(&line.along).clamp(0.0, (line.to - line.from).norm());
    line.from + line.along * along
}
