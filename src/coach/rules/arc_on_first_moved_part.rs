use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::routine::{EventKind, Instruction, Step};
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ArcOnFirstMovedPart,
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("arc_on_first_moved_part.md"),
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::FirstArc, endangers_people: true, ..RuleTraits::USUAL },
};

fn check(f: &Facts) -> Vec<Finding> {
    let first = f.current().iter().find_map(|r| {
        let reference = f.reference_before(r)?;
        let moved = |r: &RunFacts| !still(&r.part, &reference.part);
        let between = &f.runs[reference.number..r.number - 1];
        let tried = between.iter().any(|d| moved(d) && shows_the_weld(d));
        // A reference run where the points were taught has no moved part, wherever the last one was.
        let compares = r.compares() || (r.reference() && r.moved());
        let welds = compares && moved(r) && !r.of_study && r.when(arc_on).is_some();
        (welds && !tried).then_some((r, reference.number))
    });
    let Some((r, reference)) = first else { return Vec::new() };
    let says = say::arc_on_first_moved_part(r.number, reference);
    vec![RULE.says(says).run(r.number).time(r.when(arc_on))]
}

fn arc_on(event: &EventKind) -> bool {
    matches!(event, EventKind::ArcOn)
}

/// Whether a dry run got past every weld.
fn shows_the_weld(r: &RunFacts) -> bool {
    let reached = |s: &Step| r.log.legs.iter().any(|l| l.step == s.id);
    let mut ends =
        r.routine.steps.iter().filter(|s| matches!(s.instruction, Instruction::WeldEnd { .. }));
    r.compares() && !r.log.arc && ends.all(reached)
}
