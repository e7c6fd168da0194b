use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::session::{ByHand, LiveEntry};
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::EnteredLiveCell,
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("entered_live_cell.md"),
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::InReach, endangers_people: true, ..RuleTraits::USUAL },
};

/// Before a run of the current attempt, or in a pause of one.
pub(in crate::coach) fn entries<'f>(f: &'f Facts) -> impl Iterator<Item = &'f LiveEntry> {
    f.state.live_entries.iter().filter(|e| e.run > f.attempt)
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(first) = entries(f).next() else { return Vec::new() };
    let did = match first.did {
        ByHand::PartMoved => say::part_moved_by_hand(),
        ByHand::WireCut => say::wire_cut_by_hand(),
        ByHand::PutRight => say::put_right_by_hand(),
    };
    let run = first.run;
    let when = match f.runs.len() {
        _ if first.paused => say::in_a_pause(run),
        runs if run <= runs => say::before_run(run),
        0 => say::before_the_first_run(),
        runs => say::after_run(runs),
    };
    let says = if first.sensing {
        say::entered_live_cell_sensing(did, when)
    } else {
        say::entered_live_cell(did, when)
    };
    let more = match entries(f).count() {
        1 => None,
        2 => Some(say::happened_once_more()),
        n => Some(say::happened_more(n - 1)),
    };
    let finding = RULE.says(say::then(says, more));
    vec![if run <= f.runs.len() { finding.run(run) } else { finding }]
}
