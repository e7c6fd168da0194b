use super::spread::greatest_forecast;
use super::watching::reference_before;
use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::rule_name::RuleName;
use crate::locate::STATED_SIGMAS;
use crate::routine::EventKind;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ProofOffsetIgnored,
    title: "The proof run found an offset where nothing had moved",
    asks: "The proof run finds next to nothing, or its cause is looked for before a part is moved.",
    weight: Severity::Misses,
    skill: Skill::ReadResult,
    page: include_str!("proof_offset_ignored.md"),
    hints: [
        "What should a run find on a part that has not moved?",
        "Compare the offset of the proof run with its forecast: can that be chance?",
        "Look at wire, faces and the part's seat, then take a new reference and prove it.",
    ],
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(reference_before),
    traits: RuleTraits { silences: &[RuleName::UnexplainedMiss], ..RuleTraits::USUAL },
};

/// What an offset may be at a weld end beyond the forecast, mm (common practice, no source).
const MARGIN_MM: f64 = 0.3;

fn check(f: &Facts) -> Vec<Finding> {
    f.current().iter().find_map(|r| ignored(f, r)).into_iter().collect()
}

/// The finding, if this run was made on a moved part though the last proof before it had not come out as
/// next to nothing.
fn ignored(f: &Facts, r: &RunFacts) -> Option<Finding> {
    let reference = f.reference_before(r)?;
    let moved = |p: &RunFacts| !still(&p.part, &reference.part);
    if !r.compares() || !moved(r) {
        return None;
    }
    let between = &f.runs[reference.number..r.number - 1];
    let proof = between.iter().rfind(|p| p.compares() && p.found() && !moved(p))?;
    // The forecast knows how edges were made.
    let (mm, limit) = beyond(proof, greatest_forecast(f))?;
    let says = format!(
        "Run {} found the weld end {mm:.1} mm beside its place though nothing had moved: expected less than {limit:.1} mm. Run {} was made on a moved part all the same.",
        proof.number, r.number
    );
    let found = proof.when(|e| matches!(e, EventKind::PlaceFound { .. }));
    Some(RULE.says(says).run(proof.number).time(found))
}

/// By how much the offset of a proof moves a weld end across the weld, and how much the forecast (its own,
/// or that of the coach where it is larger) and the margin allow there, mm, if it is more.
fn beyond(proof: &RunFacts, forecast: f64) -> Option<(f64, f64)> {
    let (_, offset) = proof.log.found()?;
    let ends = proof.log.welds.iter().flat_map(|weld| {
        let along = (weld.wire[1] - weld.wire[0]).try_normalize(1e-9).unwrap_or_default();
        let sigmas = proof.log.sigma_of(weld).unwrap_or_default();
        weld.wire.iter().zip(sigmas).map(move |(end, sigma)| {
            let by = offset.displacement(end);
            ((by - along * by.dot(&along)).norm(), forecast.max(STATED_SIGMAS * sigma) + MARGIN_MM)
        })
    });
    ends.filter(|(mm, limit)| mm > limit).max_by(|a, b| a.0.total_cmp(&b.0))
}
