use super::catalogue::rule;
use super::facts::{Facts, RunFacts};
use super::finding::{Finding, Severity};
use super::rules::spread::{says_forecast, worst_forecast};
use crate::cell::{END_MM, STANDOFF_MM, SeamMiss};
use crate::routine::{EventKind, WeldTrace};
use crate::session::State;
use crate::text::{RuleName, Sentence, Value, against, mm, mm_against, say};
use serde::Serialize;

/// Score of a session: 100 for a proved routine whose weld landed on a moved part, without findings
/// and without help.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Score {
    /// Out of 100.
    pub total: u8,
    /// The weld.
    pub weld: ScorePart,
    /// The procedure.
    pub method: ScorePart,
    /// Safety of people, part and torch.
    pub safety: ScorePart,
}

/// One part of the score of a session or of an attempt at a lesson.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScorePart {
    /// Points.
    pub points: u8,
    /// Greatest number of points.
    pub of: u8,
    /// The reason, one sentence.
    pub reason: Sentence,
}

/// Points for each part of the score (own choice): the weld is the purpose of the job, the method is
/// what is learned, safety is required.
const WELD: u8 = 40;
const METHOD: u8 = 40;
const SAFETY: u8 = 20;

/// Seam miss, in tolerances, at which the weld gets no points.
const WORTHLESS: f64 = 4.0;

impl ScorePart {
    /// Rounded, and limited to 0 to `of`.
    pub(crate) fn new(points: f64, of: f64, reason: Sentence) -> Self {
        let of = of.round();
        Self { points: points.clamp(0.0, of).round() as u8, of: of as u8, reason }
    }
}

/// Points that a finding deducts from the method, by severity.
fn price(weight: Severity) -> f64 {
    match weight {
        Severity::Ruins => 12.0,
        Severity::Misses => 8.0,
        Severity::Sloppy => 3.0,
    }
}

/// Points deducted for a hint, by level, and for a mend.
const HINT: [f64; 3] = [1.0, 2.0, 3.0];
const MEND: f64 = 5.0;

/// The rules of findings, each once, with their severity.
pub(super) fn rules_of<'f>(
    findings: impl Iterator<Item = &'f Finding>,
) -> Vec<(RuleName, Severity)> {
    let mut rules: Vec<_> = findings.map(|f| (f.rule, f.weight)).collect();
    rules.sort_unstable();
    rules.dedup();
    rules
}

/// Points deducted from the method for broken rules, and a clause about them.
pub(crate) fn price_of_rules(rules: &[(RuleName, Severity)]) -> (f64, Sentence) {
    let says = match rules {
        [] => say::no_findings(),
        [(one, _)] => say::one_finding(*one),
        many => say::rules_with_findings(many.len()),
    };
    (rules.iter().map(|(_, w)| price(*w)).sum(), says)
}

/// Points deducted from the method for hints and mends, and a clause with what was asked for after it.
pub(crate) fn price_of_help(state: &State, says: Sentence) -> (f64, Sentence) {
    let (hints, mends) = (&state.hints, state.mended.len());
    let hints_said = match hints.len() {
        0 => None,
        1 => Some(say::one_hint()),
        n => Some(say::hints(n)),
    };
    let mends_said = match mends {
        0 => None,
        1 => Some(say::one_mend()),
        n => Some(say::mends(n)),
    };
    let says = match (hints_said, mends_said) {
        (None, None) => says,
        (Some(one), None) | (None, Some(one)) => say::asked_for(says, one),
        (Some(hints), Some(mends)) => say::asked_for(says, say::and(hints, mends)),
    };
    let hints = hints.iter().map(|(_, level)| HINT[usize::from((*level).clamp(1, 3)) - 1]);
    (hints.sum::<f64>() + mends as f64 * MEND, says)
}

/// What a mistake that endangers people costs, what any other finding that loses points,
/// part or torch costs, and what a crash costs.
const DANGER: f64 = 10.0;
const RUIN: f64 = 5.0;
const CRASH: f64 = 5.0;

pub(super) fn score(facts: &Facts, findings: &[Finding]) -> Score {
    let (weld, method, safety) = (weld(facts), method(facts, findings), safety(facts, findings));
    let total = weld.points + method.points + safety.points;
    Score { total, weld, method, safety }
}

fn part(points: f64, of: u8, reason: Sentence) -> ScorePart {
    ScorePart::new(points, of.into(), reason)
}

/// The last run that compared on a moved part.
fn production<'f>(facts: &'f Facts) -> Option<&'f RunFacts> {
    facts.current().iter().rev().find(|r| r.compares() && r.moved())
}

fn weld(facts: &Facts) -> ScorePart {
    let Some(run) = production(facts) else {
        return part(0.0, WELD, say::no_production_run());
    };
    let worse = |a: &&WeldTrace, b: &&WeldTrace| {
        b.landed.cmp(&a.landed).then(a.worst_mm.abs().total_cmp(&b.worst_mm.abs()))
    };
    let Some(worst) = run.log.welds.iter().max_by(worse) else {
        return part(0.0, WELD, say::no_weld(run.number));
    };
    let (number, tolerance, miss) = (run.number, worst.tolerance_mm, worst.worst_mm.abs());
    let [across, allowed] = against(mm(worst.worst_mm, 2).signed(), mm(tolerance, 1));
    if run.log.landed() && !run.log.arc {
        return part(f64::from(WELD), WELD, say::on_the_seam(number, across, allowed));
    }
    if run.log.landed() {
        return part(f64::from(WELD), WELD, say::landed(number, across, allowed));
    }
    let distance = worst.miss.iter().map(|m| m.standoff_mm.abs()).fold(0.0, f64::max);
    let mut says = if worst.landed {
        say::stopped_early(number)
    } else if miss > tolerance {
        say::missed(number, across, allowed)
    } else if distance > STANDOFF_MM {
        let [by, allowed] = mm_against(distance, STANDOFF_MM);
        say::missed_distance(number, by, allowed)
    } else {
        let along = worst.miss.iter().map(|m| m.along_mm.abs()).fold(0.0, f64::max);
        let [by, allowed] = mm_against(along, END_MM);
        say::missed_end(number, by, allowed)
    };
    if let Some((end, mm)) = worst_forecast(facts).filter(|_| miss > tolerance) {
        says = say::then(says, Some(says_forecast(&end, mm)));
    }
    // The tip-to-work distance may be off though it is right across.
    let off = worst.miss.iter().map(SeamMiss::off_mm).fold(0.0, f64::max);
    let share = (WORTHLESS - off / tolerance) / (WORTHLESS - 1.0);
    part(f64::from(WELD) * 0.75 * share.clamp(0.0, 1.0), WELD, says)
}

fn method(facts: &Facts, findings: &[Finding]) -> ScorePart {
    let runs = facts.current();
    let steps = [
        (!facts.runs.is_empty(), say::a_first_run()),
        (runs.iter().any(|r| r.reference() && r.stored()), say::the_reference_run()),
        (runs.iter().any(|r| r.compares() && !r.moved() && r.found()), say::the_proof_run()),
        (production(facts).is_some_and(RunFacts::found), say::the_production_run()),
    ];
    let done = steps.iter().filter(|(done, _)| *done).count();
    let (faults, rules) = price_of_rules(&rules_of(findings.iter()));
    let (help, says) = price_of_help(facts.state, rules);
    let points = f64::from(METHOD) * done as f64 / steps.len() as f64 - faults - help;
    let missing = steps.into_iter().find(|(done, _)| !done).map(|(_, what)| what);
    let says = match missing {
        Some(what) => say::still_to_come(says, what),
        None => says,
    };
    part(points, METHOD, say::full_stop(says))
}

fn safety(facts: &Facts, findings: &[Finding]) -> ScorePart {
    if facts.runs.is_empty() {
        return part(0.0, SAFETY, say::nothing_run());
    }
    let risks = rules_of(findings.iter().filter(|f| f.weight == Severity::Ruins));
    let price = |name| if rule(name).traits.endangers_people { DANGER } else { RUIN };
    let taken: f64 = risks.iter().map(|(rule, _)| price(*rule)).sum();
    let crash = |e: &&crate::routine::Event| {
        matches!(e.what, EventKind::Crash { .. } | EventKind::WireBent { .. })
    };
    let crashes =
        facts.current().iter().map(|r| r.log.events.iter().filter(crash).count()).sum::<usize>();
    let points = f64::from(SAFETY) - taken - CRASH * crashes as f64;
    let mut why: Vec<Value> = risks.iter().map(|(rule, _)| (*rule).into()).collect();
    match crashes {
        0 => {}
        1 => why.push(say::one_crash().into()),
        n => why.push(say::crashes(n).into()),
    }
    let says =
        if why.is_empty() { say::nothing_at_risk() } else { say::put_at_risk(say::listed(why)) };
    part(points, SAFETY, says)
}
