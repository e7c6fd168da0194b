use super::help::{add, and_more, move_before};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FeelWithoutSensing,
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("feel_without_sensing.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits {
        // Without voltage the wire is pressed against the face and bent.
        silences: &[RuleName::NoTouchIgnored, RuleName::WireBentAndUsed],
        ..RuleTraits::USUAL
    },
};

/// The feels outside sensing.
fn outside(f: &Facts) -> Vec<usize> {
    let feels = f.touches.iter().map(|t| t.step);
    feels.filter(|&i| f.structure.sensing_at(i).is_none()).collect()
}

fn check(f: &Facts) -> Vec<Finding> {
    let outside = outside(f);
    let Some(&first) = outside.first() else { return Vec::new() };
    let says = say::then(say::feel_without_sensing(f.step(first)), and_more(outside.len()));
    vec![RULE.says(says).step(f.id(first))]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let outside = outside(f);
    let (&first, &last) = (outside.first()?, outside.last()?);
    // *Sensing on* that comes too late moves up, *sensing off* that comes too early moves down.
    let on = f.structure.sensing.iter().find(|s| s.begin > first);
    let before = f.structure.sensing.iter().rfind(|s| s.begin < first);
    let off = before.and_then(|s| s.end).filter(|&end| end < first);
    Some(match (off, on) {
        (Some(off), None) => vec![move_before(f, off, last + 1)],
        (None, Some(on)) => vec![move_before(f, on.begin, first)],
        _ => {
            let mut edits = vec![add(first, Instruction::sensing_on())];
            let between = f.routine.steps[first..last].iter();
            let offs = between.filter(|s| s.instruction == Instruction::SensingOff);
            edits.extend(offs.map(|s| Action::DeleteStep { id: s.id }));
            if !f.routine.steps[last..].iter().any(|s| s.instruction == Instruction::SensingOff) {
                edits.push(add(last + 2, Instruction::SensingOff));
            }
            edits
        }
    })
}
