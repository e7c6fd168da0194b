use super::help::{ABOVE_WELD_MM, add, go, new_name, teach};
use super::seam_not_followed::{from_weld, near};
use crate::coach::facts::{Facts, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::geometry::Vector3;
use crate::routine::{Instruction, PathKind};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoApproach,
    title: "The weld is entered without an approach",
    asks: "The weld is entered by a point off the seam and near it, which follows the part.",
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_approach.md"),
    hints: [
        "From which side, and from how far, does the torch come to the seam?",
        "Look at the step before the weld start.",
        "Add a move to a point 30 to 60 mm off the seam, just before the weld start.",
    ],
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
            let from = motion_before(f.routine, start);
            let entered = says(f, start, "is entered straight from", from);
            let says = format!("{entered}: expected a point off the seam and near it before.");
            let finding = RULE.says(says).step(f.id(start));
            match f.routine.steps[start].instruction.point() {
                Some(p) => finding.point(p),
                None => finding,
            }
        })
        .collect()
}

/// "Step 12 (weld from weld-start) is entered straight from step 10 (go to clear-2), 180 mm from the
/// seam".
pub(super) fn says(f: &Facts, weld: usize, how: &str, other: Option<usize>) -> String {
    let Some(i) = other else { return format!("{} has no other move beside it", f.cap(weld)) };
    let away = from_weld(f, i, weld).map(|mm| format!(", {mm:.0} mm from the seam"));
    format!("{} {how} {}{}", f.cap(weld), f.name(i), away.unwrap_or_default())
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let start = f.place(finding.step)?;
    let at = f.at(start)? + Vector3::z() * ABOVE_WELD_MM;
    let name = new_name(f, "approach");
    Some(vec![teach(&name, at), add(start, go(&name, PathKind::Linear))])
}
