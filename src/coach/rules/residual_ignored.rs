use super::watching::done_before;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, cannot_mend};
use crate::coach::script::Script;
use crate::routine::EventKind;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "residual-ignored",
    title: "The touches disagreed, and it was welded all the same",
    asks: "A squareness residual above its limit is looked into before welding.",
    weight: Severity::Misses,
    skill: Skill::ReadResult,
    page: include_str!("residual_ignored.md"),
    hints: [
        "If all touches were true, would they disagree this much?",
        "Compare the squareness residual of the last run with the limit in the probe plan.",
        "Look for paint, a burr, a clamp in the way or a bent wire, mend it, and run again.",
    ],
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(without_mistake),
};

/// The last run with an offset, if its touches disagreed and it welded.
fn last<'f>(f: &'f Facts) -> Option<(&'f RunFacts, f64, f64)> {
    let r = f.current().iter().rev().find(|r| r.compares() && r.found())?;
    let located = r.log.fit()?;
    let worst = located.residuals.iter().fold(0.0_f64, |a, e| a.max(e.abs()));
    let limit =
        r.log.solutions.iter().rev().find_map(|s| r.routine.plan(&s.plan))?.residual_limit_mm;
    (located.redundancy > 0 && worst > limit && !r.log.welds.is_empty())
        .then_some((r, worst, limit))
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some((r, worst, limit)) = last(f) else { return Vec::new() };
    let says = format!(
        "In run {} the touches disagree by {worst:.1} mm (limit {limit:.1} mm), and it welded all the same.",
        r.number
    );
    vec![
        Finding::says(says)
            .run(r.number)
            .time(r.when(|e| matches!(e, EventKind::OffsetFound { .. }))),
    ]
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    done_before(finding, script, [Action::ClearFaults]);
}
