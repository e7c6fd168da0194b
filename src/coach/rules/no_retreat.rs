use super::help::{ABOVE_WELD_MM, add, go, new_name, teach};
use super::no_approach::{OFF_SEAM_MM, away};
use super::seam_not_followed::{from_weld, near};
use crate::coach::facts::{Facts, motion_after};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Vector3;
use crate::routine::{Instruction, PathKind};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoRetreat,
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_retreat.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// The weld ends without a point off the seam, and near it, after them.
pub(super) fn missing(f: &Facts) -> Vec<usize> {
    let ends = f.structure.welds.iter().filter(|w| w.start.is_some()).filter_map(|w| w.end);
    let lacks = |end: &usize| {
        let Some(after) = motion_after(f.routine, *end) else { return true };
        match f.routine.steps[after].instruction {
            Instruction::Move { .. } => {
                let off = from_weld(f, after, *end).is_none_or(|mm| mm >= OFF_SEAM_MM);
                !off || !near(f, after, *end)
            }
            // A second pass begins where the first one ended.
            Instruction::WeldStart { .. } => {
                f.at(after).zip(f.at(*end)).is_none_or(|(a, b)| (a - b).norm() >= OFF_SEAM_MM)
            }
            // Two weld ends are another finding.
            Instruction::WeldEnd { .. } => false,
            _ => true,
        }
    };
    ends.filter(lacks).collect()
}

fn check(f: &Facts) -> Vec<Finding> {
    missing(f)
        .into_iter()
        .map(|end| {
            let step = f.step(end);
            let to = motion_after(f.routine, end).map(|to| (to, away(f, to, end)));
            let says = match to {
                None => say::left_alone(step),
                Some((to, None)) => say::left_for(step, f.step(to)),
                Some((to, Some([mm, least, most]))) => {
                    say::left_for_at(step, f.step(to), mm, least, most)
                }
            };
            let finding = RULE.says(says).step(f.id(end));
            match f.routine.steps[end].instruction.point() {
                Some(p) => finding.point(p),
                None => finding,
            }
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let end = f.place(finding.step)?;
    let at = f.at(end)? + Vector3::z() * ABOVE_WELD_MM;
    let name = new_name(f, "retreat");
    Some(vec![teach(&name, at), add(end + 1, go(&name, PathKind::Linear))])
}
