use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::rule_name::RuleName;
use crate::session::{ByHand, LiveEntry};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::EnteredLiveCell,
    title: "Hands were in the cell while it could run",
    asks: "Hands go into the cell only while it is locked out.",
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("entered_live_cell.md"),
    hints: [
        "What could the torch have done while your hands were beside the part?",
        "Look at the cell's switch: how did it stand when the part was moved or the wire was cut?",
        "Lock the cell out, do what hands have to do, and make it ready once nobody is in it.",
    ],
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
        ByHand::PartMoved => "The part was moved by hand",
        ByHand::WireCut => "The wire was cut by hand",
        ByHand::PutRight => "Something in the cell was put right by hand",
    };
    let run = first.run;
    let when = match f.runs.len() {
        _ if first.paused => format!("in a pause of run {run}"),
        runs if run <= runs => format!("before run {run}"),
        0 => "before the first run".into(),
        runs => format!("after run {runs}"),
    };
    let live = if first.sensing {
        "the cell was not locked out, and the wire carried sensing voltage"
    } else {
        "the cell was not locked out"
    };
    let more = match entries(f).count() {
        1 => String::new(),
        2 => " So it was once more.".into(),
        n => format!(" So it was {} times more.", n - 1),
    };
    let finding = RULE.says(format!("{did} {when}, and {live}.{more}"));
    vec![if run <= f.runs.len() { finding.run(run) } else { finding }]
}
