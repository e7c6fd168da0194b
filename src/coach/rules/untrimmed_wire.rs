use super::help::add;
use super::watching::{done_before, run_of};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::UntrimmedWire,
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("untrimmed_wire.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        // A stick-out that the arc has left.
        silences: &[
            RuleName::ProofOffsetIgnored,
            RuleName::StickOutChanged,
            RuleName::DisagreementIgnored,
        ],
        ..RuleTraits::USUAL
    },
};

fn check(f: &Facts) -> Vec<Finding> {
    let felt = f.current().iter().find_map(|r| {
        let search = r.log.searches.iter().find(|s| r.log.wire_before(s).ball)?;
        Some((r, search))
    });
    felt.map(|(r, search)| {
        let says = say::untrimmed_wire(r.number, &search.face);
        RULE.says(says).run(r.number).time(Some(search.time))
    })
    .into_iter()
    .collect()
}

/// Trims after the last weld, as every run should, and now.
fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let stick_out_mm = f.state.settings.stick_out_mm;
    let mut edits = f.state.by_hand([Action::CutWire { stick_out_mm }]);
    let trims = f.routine.steps.iter().any(|s| s.instruction == Instruction::TrimWire);
    let weld = f.structure.welds.iter().filter_map(|w| w.end).max();
    if let (false, Some(weld)) = (trims, weld) {
        let home =
            (weld..f.routine.steps.len()).find(|&i| f.routine.steps[i].instruction.is_home());
        edits.push(add(home.unwrap_or(f.routine.steps.len()), Instruction::TrimWire));
    }
    Some(edits)
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    if run_of(f, finding).is_some() {
        let stick_out_mm = f.state.settings.stick_out_mm;
        done_before(finding, script, [Action::CutWire { stick_out_mm }]);
    }
}
