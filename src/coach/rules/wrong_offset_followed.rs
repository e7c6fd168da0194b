use super::help::change;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::Instruction;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "wrong-offset-followed",
    title: "Another offset is followed than the one found",
    asks: "Follow uses the offset that the plan fills.",
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("wrong_offset_followed.md"),
    hints: [
        "Under which name does the probing leave what it has found?",
        "Compare the offset in the probe plan with the offset in follow.",
        "Give follow the offset that the probe plan fills.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let filled: Vec<&str> =
        f.structure.blocks.iter().filter_map(|b| f.plan_of(b)).map(|p| p.fills.as_str()).collect();
    if filled.is_empty() {
        return Vec::new();
    }
    f.structure
        .follows
        .iter()
        .filter(|x| !filled.contains(&x.offset.as_str()))
        .map(|x| {
            let says = format!(
                "{} uses an offset that no probing fills; the probing fills {}.",
                f.cap(x.begin),
                filled.join(" and "),
            );
            Finding::says(says).step(f.id(x.begin))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let before = f.structure.blocks.iter().rev().filter(|b| b.begin < at);
    let plan = before.chain(&f.structure.blocks).find_map(|b| f.plan_of(b))?;
    Some(vec![change(f, at, Instruction::Follow { offset: plan.fills.clone() })])
}
