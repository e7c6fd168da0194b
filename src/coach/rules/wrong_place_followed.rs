use super::help::change;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::WrongPlaceFollowed,
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("wrong_place_followed.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let found = f.routine.places();
    if found.is_empty() {
        return Vec::new();
    }
    f.structure
        .follows
        .iter()
        .filter(|x| !found.contains(&x.place.as_str()))
        .map(|x| {
            let places = say::all_of(found.iter().copied());
            RULE.says(say::wrong_place_followed(f.step(x.begin), places)).step(f.id(x.begin))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let finds = &f.structure.finds;
    let find = finds.iter().rfind(|find| find.step < at).or(finds.first())?;
    Some(vec![change(f, at, Instruction::Follow { place: find.place.clone() })])
}
