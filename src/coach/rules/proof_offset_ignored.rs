use super::spread::forecasts;
use super::watching::reference_before;
use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits, cannot_mend};
use crate::routine::EventKind;
use crate::text::{RuleName, mm_against, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ProofOffsetIgnored,
    weight: Severity::Misses,
    skill: Skill::ReadResult,
    page: include_str!("proof_offset_ignored.md"),
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
    if !r.compares() || !moved(r) || r.of_study {
        return None;
    }
    let between = &f.runs[reference.number..r.number - 1];
    let proof = between.iter().rfind(|p| p.compares() && p.found() && !moved(p))?;
    let (mm, limit) = beyond(f, proof)?;
    let [by, limit] = mm_against(mm, limit);
    let says = say::proof_offset_ignored(proof.number, by, limit, r.number);
    let found = proof.when(|e| matches!(e, EventKind::PlaceFound { .. }));
    Some(RULE.says(says).run(proof.number).time(found))
}

/// By how much the offsets of a proof move a weld end across its wire, and how much forecast and margin
/// allow there, mm, if it is more.
fn beyond(f: &Facts, proof: &RunFacts) -> Option<(f64, f64)> {
    let ends = (0..f.structure.finds.len()).flat_map(|find| {
        let place = &f.structure.finds[find].place;
        let offset = proof.log.offset_of(place);
        forecasts(f, find).into_iter().filter_map(move |(end, forecast)| {
            let by = offset?.displacement(&end.at).dot(&end.line.across_wire).abs();
            Some((by, forecast + MARGIN_MM))
        })
    });
    ends.filter(|(mm, limit)| mm > limit).max_by(|a, b| a.0.total_cmp(&b.0))
}
