use super::help::change;
use super::no_arrival::arrival;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::Instruction;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "arrival-point-split",
    title: "Arrival and probe step use two points",
    asks: "Arrival and probe step share one taught point, so that a touch-up moves both.",
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("arrival_point_split.md"),
    hints: [
        "If this place is corrected tomorrow, how many points must be taught again?",
        "Compare the point of the probe step with the point of the move before it.",
        "Let the move go to the probe step's own point.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter_map(|t| arrival(f, t.step).filter(|(_, shared)| !shared).map(|(a, _)| (t, a)))
        .map(|(t, a)| {
            let says = format!(
                "{} goes to a second point beside {}: correct one, and the other stays behind.",
                f.cap(a),
                t.point
            );
            Finding::says(says).step(f.id(a)).point(&t.point)
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let a = f.place(finding.step)?;
    let Instruction::Move { path, corner, .. } = &f.routine.steps[a].instruction else {
        return None;
    };
    let to = finding.point.clone()?;
    Some(vec![change(f, a, Instruction::Move { to, path: *path, corner: *corner })])
}
