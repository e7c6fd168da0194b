use super::help::{ABOVE_WELD_MM, add, go, new_name, teach};
use super::seam_not_followed::{NEAR_WELD_MM, from_weld, near};
use crate::coach::facts::{Facts, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Vector3;
use crate::routine::{Instruction, PathKind};
use crate::session::Action;
use crate::text::{Number, RuleName, against, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoApproach,
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_approach.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Least distance of an approach from the seam, mm (common practice, no source).
pub(super) const OFF_SEAM_MM: f64 = 5.0;

/// The weld starts without a point off the seam, and near it, before them.
pub(super) fn missing(f: &Facts) -> Vec<usize> {
    // A weld with only one end is another finding.
    let starts = f.structure.welds.iter().filter(|w| w.end.is_some()).filter_map(|w| w.start);
    let lacks = |start: &usize| {
        let Some(before) = motion_before(f.routine, *start) else { return true };
        match f.routine.steps[before].instruction {
            // Home in the follow is another finding.
            ref act @ Instruction::Move { .. }
                if act.is_home() && f.structure.follow_at(before).is_some() =>
            {
                false
            }
            Instruction::Move { .. } => {
                let off = from_weld(f, before, *start).is_none_or(|mm| mm >= OFF_SEAM_MM);
                !off || !near(f, before, *start)
            }
            // A second pass begins where the first one ended.
            Instruction::WeldEnd { .. } => {
                f.at(before).zip(f.at(*start)).is_none_or(|(a, b)| (a - b).norm() >= OFF_SEAM_MM)
            }
            // Without a clear move too, or with two weld starts, those are the findings.
            Instruction::Feel { .. } | Instruction::WeldStart { .. } => false,
            _ => true,
        }
    };
    starts.filter(lacks).collect()
}

fn check(f: &Facts) -> Vec<Finding> {
    missing(f)
        .into_iter()
        .map(|start| {
            let step = f.step(start);
            let from = motion_before(f.routine, start).map(|from| (from, away(f, from, start)));
            let says = match from {
                None => say::entered_alone(step),
                Some((from, None)) => say::entered_from(step, f.step(from)),
                Some((from, Some([mm, least, most]))) => {
                    say::entered_from_at(step, f.step(from), mm, least, most)
                }
            };
            let finding = RULE.says(says).step(f.id(start));
            match f.routine.steps[start].instruction.point() {
                Some(p) => finding.point(p),
                None => finding,
            }
        })
        .collect()
}

/// How far the point of step `i` is from the weld at step `weld`, and how far it should be.
pub(super) fn away(f: &Facts, i: usize, weld: usize) -> Option<[Number; 3]> {
    let at = from_weld(f, i, weld)?;
    let limit = if at < OFF_SEAM_MM { OFF_SEAM_MM } else { NEAR_WELD_MM };
    let [at, _] = against(mm(at, 0), mm(limit, 0));
    Some([at, mm(OFF_SEAM_MM, 0), mm(NEAR_WELD_MM, 0)])
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let start = f.place(finding.step)?;
    let at = f.at(start)? + Vector3::z() * ABOVE_WELD_MM;
    let name = new_name(f, "approach");
    Some(vec![teach(&name, at), add(start, go(&name, PathKind::Linear))])
}
