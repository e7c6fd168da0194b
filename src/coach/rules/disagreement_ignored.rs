use super::watching::done_before;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::script::Script;
use crate::locate::{Fit, chi2_limit};
use crate::routine::{EventKind, LegKind};
use crate::session::Action;
use crate::text::{RuleName, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::DisagreementIgnored,
    weight: Severity::Misses,
    skill: Skill::ReadResult,
    page: include_str!("disagreement_ignored.md"),
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        // Touches that disagree give a wrong offset.
        silences: &[RuleName::ProofOffsetIgnored, RuleName::OffsetBeyondPlay],
        ..RuleTraits::USUAL
    },
};

/// How many times its limit chi-squared may be by chance: more than 2.5 times is one run in 20 000, with
/// one touch to spare, and rarer with more.
const CHANCE: f64 = 2.5;
/// The same of two runs in a row, which share the scatter of their reference: one pair in 10 000.
const CHANCE_TWICE: f64 = 1.5;

/// The last run whose touches disagreed and that went on all the same, and the largest residual, mm.
/// Chance lets them disagree in one run of a hundred: so it takes a weld beside the seam, or touches that
/// disagree by more than chance lets them, in a run with the arc on or in two in a row with nothing mended
/// between.
fn last<'f>(f: &'f Facts) -> Option<(&'f RunFacts, f64)> {
    let r =
        f.current().iter().rev().find(|r| disagree(f, r) && (spoils(f, r) || comes_again(f, r)))?;
    let (fit, _) = r.log.found()?;
    Some((r, fit.residuals.iter().fold(0.0_f64, |a, e| a.max(e.abs()))))
}

/// Whether the touches of a run disagreed, and it went on to its weld.
fn disagree(f: &Facts, r: &RunFacts) -> bool {
    // Also where the torch ran into the part on its way to the weld.
    let welds = r.log.legs.iter().any(|l| matches!(l.kind, LegKind::ToWeld | LegKind::Weld));
    r.compares()
        && welds
        && r.log.found().is_some_and(|(fit, _)| !fit.consistent || beyond_house(f, fit))
}

/// Whether a touch stands further off than the house allows.
fn beyond_house(f: &Facts, fit: &Fit) -> bool {
    let limit = f.state.house_rules.as_ref().and_then(|house| house.touches_agree_mm);
    limit.is_some_and(|limit| fit.residuals.iter().any(|r| r.abs() > limit))
}

/// Whether a run with the arc on is no matter of chance.
fn spoils(f: &Facts, r: &RunFacts) -> bool {
    r.log.arc && !(r.log.landed() && by_chance(f, r, CHANCE))
}

/// Whether chi-squared of the touches is at most so many times its limit, and the house lets it pass.
fn by_chance(f: &Facts, r: &RunFacts, times: f64) -> bool {
    let at_most =
        |fit: &Fit| fit.chi2 <= times * chi2_limit(fit.redundancy) && !beyond_house(f, fit);
    r.log.found().is_some_and(|(fit, _)| at_most(fit))
}

fn comes_again(f: &Facts, r: &RunFacts) -> bool {
    let before = r.number.checked_sub(2).and_then(|n| f.runs.get(n));
    before.is_some_and(|before| {
        let wire = before.log.wire.last().is_some_and(|(_, wire)| *wire == r.wire);
        let beyond_chance =
            [before, r].iter().all(|r| disagree(f, r) && !by_chance(f, r, CHANCE_TWICE));
        beyond_chance && wire && before.routine == r.routine
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some((r, worst)) = last(f) else { return Vec::new() };
    let says = say::disagreement_ignored(r.number, mm(worst, 1));
    vec![RULE.says(says).run(r.number).time(r.when(|e| matches!(e, EventKind::PlaceFound { .. })))]
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    done_before(finding, script, [Action::ClearFaults]);
}
