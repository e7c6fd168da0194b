use super::help::change;
use super::no_arrival::arrival;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::{Corner, Instruction};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "arrival-blends",
    title: "The arrival rounds its corner",
    asks: "The move to a probe step's point makes a full stop.",
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("arrival_blends.md"),
    hints: [
        "Does the torch really stand on the point when this search begins?",
        "Look at what the move before the probe step does at its point.",
        "Give that move a full stop.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

fn blend(f: &Facts, probe: usize) -> Option<(usize, f64)> {
    let (a, _) = arrival(f, probe)?;
    match &f.routine.steps[a].instruction {
        Instruction::Move { corner: Corner::Blend(mm), .. } if *mm > 0.0 => Some((a, *mm)),
        _ => None,
    }
}

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter_map(|t| blend(f, t.step).map(|(a, mm)| (t, a, mm)))
        .map(|(t, a, mm)| {
            let says = format!(
                "{} rounds its corner by {mm:.0} mm: the search on {} starts beside its point.",
                f.cap(a),
                t.face
            );
            Finding::says(says).step(f.id(a)).point(&t.point)
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let a = f.place(finding.step)?;
    let Instruction::Move { to, path, .. } = &f.routine.steps[a].instruction else { return None };
    Some(vec![change(
        f,
        a,
        Instruction::Move { to: to.clone(), path: *path, corner: Corner::FullStop },
    )])
}
