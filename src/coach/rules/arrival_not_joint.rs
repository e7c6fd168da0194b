use super::help::change;
use super::no_arrival::arrival;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Skill, Weight};
use crate::coach::rule::{Reads, Rule};
use crate::routine::{Act, Path};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "arrival-not-joint",
    title: "The arrival is a linear move",
    asks: "The arrival is a joint move, the search a linear move.",
    weight: Weight::Sloppy,
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
    unmake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter_map(|t| arrival(f, t.step).map(|(a, _)| (t, a)))
        .filter(|(_, a)| matches!(f.routine.steps[*a].act, Act::Move { path: Path::Linear, .. }))
        .map(|(t, a)| {
            let says =
                format!("{} is a linear move; the arrival at a search is a joint move.", f.cap(a));
            Finding::says(says).step(f.id(a)).point(&t.point)
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let a = f.place(finding.step)?;
    let Act::Move { to, corner, .. } = &f.routine.steps[a].act else { return None };
    Some(vec![change(f, a, Act::Move { to: to.clone(), path: Path::Joint, corner: *corner })])
}
