use super::help::change;
use super::no_arrival::arrival;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::{Instruction, PathKind};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "arrival-not-joint",
    title: "The arrival is a linear move",
    asks: "The arrival is a joint move, the search a linear move.",
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("arrival_not_joint.md"),
    hints: [
        "Which of the two moves needs a straight path: getting there, or searching?",
        "Look at the path of the move before the probe step.",
        "Make the arrival a joint move.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter_map(|t| arrival(f, t.step).map(|(a, _)| (t, a)))
        .filter(|(_, a)| {
            matches!(
                f.routine.steps[*a].instruction,
                Instruction::Move { path: PathKind::Linear, .. }
            )
        })
        .map(|(t, a)| {
            let says =
                format!("{} is a linear move; the arrival at a search is a joint move.", f.cap(a));
            Finding::says(says).step(f.id(a)).point(&t.point)
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let a = f.place(finding.step)?;
    let Instruction::Move { to, corner, .. } = &f.routine.steps[a].instruction else { return None };
    Some(vec![change(
        f,
        a,
        Instruction::Move { to: to.clone(), path: PathKind::Joint, corner: *corner },
    )])
}
