use super::watching::same_moves;
use crate::cell::REDUCED_SPEED_MM_S;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::script::Script;
use crate::routine::RunSpeed;
use crate::text::{RuleName, say, speed};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FirstRunTooFast,
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("first_run_too_fast.md"),
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits { cost: CostKind::Speed, endangers_people: true, ..RuleTraits::USUAL },
};

/// The first run at full speed of moves that no run at reduced speed had gone through to its last step.
fn first<'f>(f: &'f Facts) -> Option<&'f RunFacts> {
    let slow = |b: &&RunFacts| b.log.speed == RunSpeed::Reduced && b.log.finished();
    f.current().iter().filter(|r| r.log.speed == RunSpeed::Full).find(|r| {
        let before: Vec<&RunFacts> = f.runs[..r.number - 1].iter().filter(slow).collect();
        // The routine may have been changed in a pause.
        r.stretches.iter().any(|s| {
            let tried =
                |b: &&RunFacts| b.stretches.iter().all(|old| same_moves(&old.routine, &s.routine));
            !before.iter().any(tried)
        })
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = first(f) else { return Vec::new() };
    let most = speed(REDUCED_SPEED_MM_S, 0);
    let says = if r.number == 1 {
        say::never_at_reduced_speed(r.number, most)
    } else {
        say::not_whole_at_reduced_speed(r.number, most)
    };
    vec![RULE.says(says).run(r.number)]
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    if let Some(run) = finding.run.and_then(|n| script.run(n)) {
        run.speed = RunSpeed::Reduced;
    }
}
