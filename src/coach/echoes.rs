use super::catalogue::rule;
use super::cost::make_good;
use super::edited::edited;
use super::facts::{Facts, RunFacts};
use super::finding::{Finding, Severity};
use super::rule::Reads;
use super::script::Script;
use crate::routine::RunEnd;
use crate::session::{Action, State};
use crate::text::RuleName;
use std::sync::Arc;

/// What may come, in the runs, of a routine that cannot work.
const OF_A_FAULTY_ROUTINE: &[RuleName] = &[
    RuleName::WireBentAndUsed,
    RuleName::NoTouchIgnored,
    RuleName::NoReferenceRun,
    RuleName::DisagreementIgnored,
    RuleName::OffsetBeyondPlay,
    // It never got through to its last step.
    RuleName::FirstRunTooFast,
];

/// What any mistake may cause: a run that misses or stops, or a dry run that stops before its weld.
const OF_ANY_MISTAKE: &[RuleName] = &[RuleName::UnexplainedMiss, RuleName::ArcOnFirstMovedPart];

/// Slight mistakes that may still cause a crash.
const MAY_CRASH: &[RuleName] = &[RuleName::NoApproach, RuleName::NoRetreat];

/// Removes findings that are consequences of another finding: their rules may follow from its mistake,
/// they come no earlier, and they are gone once the session is played without it (or, of several such
/// mistakes, without all of them).
pub(super) async fn without_echoes(facts: &Facts<'_>, findings: Vec<Finding>) -> Vec<Finding> {
    // Why a run stopped is known, as long as its routine has a mistake that would do.
    let faulty = findings.iter().any(|f| is_weighty(f) && rule(f.rule).reads != Reads::Session);
    let known = |f: &Finding| faulty && f.rule == RuleName::UnexplainedMiss && stopped(facts, f);
    let mut gone: Vec<bool> = findings.iter().map(known).collect();
    let mut causes = vec![0; findings.len()];
    for cause in &findings {
        let mut after = None;
        for (i, echo) in findings.iter().enumerate() {
            if !may_follow(facts, echo, cause) {
                continue;
            }
            causes[i] += 1;
            if gone[i] {
                continue;
            }
            if after.is_none() {
                after = Some(Without::the(facts, &[cause]).await);
            }
            if let Some(after) = &after {
                gone[i] = !after.has(echo).await;
            }
        }
    }
    let of_several = |i: usize| !gone[i] && causes[i] > 1;
    let left: Vec<usize> = (0..findings.len()).filter(|i| of_several(*i)).collect();
    if !left.is_empty() {
        let is_one = |c: &&Finding| left.iter().any(|i| may_follow(facts, &findings[*i], c));
        let all: Vec<&Finding> = findings.iter().filter(is_one).collect();
        let after = Without::the(facts, &all).await;
        for i in left {
            gone[i] = !after.has(&findings[i]).await;
        }
    }
    findings.into_iter().zip(gone).filter(|(_, gone)| !gone).map(|(f, _)| f).collect()
}

/// Whether `echo` may be a consequence of `cause`.
fn may_follow(facts: &Facts, echo: &Finding, cause: &Finding) -> bool {
    let earlier = echo.run.zip(cause.run).is_some_and(|(echo, cause)| echo < cause);
    if earlier || echo == cause {
        return false;
    }
    let of = rule(cause.rule);
    if of.traits.cost.is_a_risk() {
        return false;
    }
    let weighty = is_weighty(cause);
    let faulty = of.reads != Reads::Session && (weighty || MAY_CRASH.contains(&cause.rule));
    // Removing a search is a mistake of its own.
    let removed = echo.rule == RuleName::NoTouchIgnored && facts.place(echo.step).is_none();
    // So is making no reference run at all.
    let before = &facts.runs[..echo.run.map_or(0, |n| n - 1)];
    let not_tried =
        echo.rule == RuleName::NoReferenceRun && !before.iter().any(RunFacts::reference);
    let explains_a_crash = !is_a_crash(facts, cause)
        && cause.rule != RuleName::UnexplainedMiss
        && !OF_A_FAULTY_ROUTINE.contains(&cause.rule)
        && (weighty || MAY_CRASH.contains(&cause.rule));
    // An arc that should have been off for two reasons.
    let same_arc = cause.rule == RuleName::ArcInTrial && echo.rule == RuleName::ArcOnFirstMovedPart;
    of.traits.silences.contains(&echo.rule)
        || (OF_ANY_MISTAKE.contains(&echo.rule)
            && (weighty || MAY_CRASH.contains(&cause.rule))
            && !same_arc
            && cause.rule != RuleName::UnexplainedMiss)
        || (faulty && OF_A_FAULTY_ROUTINE.contains(&echo.rule) && !removed && !not_tried)
        || (is_a_crash(facts, echo) && explains_a_crash)
}

fn is_weighty(f: &Finding) -> bool {
    f.weight >= Severity::Misses
}

/// Whether the run of a finding stopped before its last step.
fn stopped(facts: &Facts, f: &Finding) -> bool {
    let run = f.run.and_then(|run| facts.runs.get(run - 1));
    run.is_some_and(|r| matches!(r.log.end, Some(RunEnd::Stopped { .. })))
}

/// A crash without a visible mistake in the routine: another finding may be the better explanation.
fn is_a_crash(facts: &Facts, f: &Finding) -> bool {
    let seen = facts.hits.iter().any(|hit| Some(hit.step) == facts.place(f.step));
    f.rule == RuleName::WayBlockedAtLimit && f.run.is_some() && !seen
}

/// The session without some mistakes: what it then comes to, and the number in the learner's session of
/// each of its runs; `None` where it cannot be played.
struct Without(Option<(State, Vec<usize>)>);

impl Without {
    /// What it then comes to; nothing is known where it cannot be played.
    async fn the(facts: &Facts<'_>, causes: &[&Finding]) -> Self {
        let edits = mends(facts, causes).await;
        let part = &facts.state.part;
        let (mut state, numbers) = match facts.session {
            None => (facts.state.clone(), Vec::new()),
            Some(session) => {
                let mut script = Script::of(session);
                let in_the_session =
                    causes.iter().filter(|c| rule(c.rule).without_mistake.is_some());
                let known = in_the_session.filter(|c| make_good(facts, c, &mut script)).count();
                if known == 0 && edits.is_empty() {
                    return Self(None);
                }
                script.edit(|routine| edited(routine, &edits, part));
                let Some(played) = script.play(session.header()).await else { return Self(None) };
                (played.state().clone(), script.numbers())
            }
        };
        let mut routine = edited(facts.routine, &edits, part);
        for cause in causes.iter().filter(|c| rule(c.rule).without_mistake.is_some()) {
            if let Some(edits) = (rule(cause.rule).mend)(facts, cause) {
                routine = edited(&routine, &edits, part);
            }
        }
        state.put_in(Arc::new(routine), facts.state.taught.clone());
        Self(Some((state, numbers)))
    }

    /// Whether the finding is still there. Of a run that missed, what may explain it does, unless it is
    /// shown that it does not.
    async fn has(&self, finding: &Finding) -> bool {
        let unexplained = finding.rule == RuleName::UnexplainedMiss;
        let Some((state, numbers)) = &self.0 else { return !unexplained };
        let rule = rule(finding.rule);
        let touches = rule.reads != Reads::Session && finding.run.is_none();
        let facts = Facts::of_replay(state, touches).await;
        (rule.check)(&facts).iter().any(|f| {
            let run = f.run.and_then(|run| numbers.get(run - 1));
            let same_run = !unexplained || run == finding.run.as_ref();
            let same_step = !touches || finding.step.is_none() || f.step == finding.step;
            same_run && same_step
        })
    }
}

/// How often a mistake is mended at most: it may stand in several places.
const MENDS: usize = 6;

/// The edits that mend the routine, one mistake after the other, wherever each stands: a mend may cure
/// two.
async fn mends(facts: &Facts<'_>, causes: &[&Finding]) -> Vec<Action> {
    let mut all: Vec<Action> = Vec::new();
    let mut state = facts.state.clone();
    for cause in causes {
        let rule = rule(cause.rule);
        if rule.without_mistake.is_some() {
            continue;
        }
        for _ in 0..MENDS {
            let edits = if all.is_empty() {
                (rule.mend)(facts, cause)
            } else {
                let now = Facts::of_replay(&state, true).await;
                let left = (rule.check)(&now).into_iter().next();
                left.and_then(|f| (rule.mend)(&now, &f))
            };
            let Some(edits) = edits.filter(|edits| !edits.is_empty()) else { break };
            let routine = edited(&state.routine, &edits, &facts.state.part);
            state.put_in(Arc::new(routine), facts.state.taught.clone());
            all.extend(edits);
        }
    }
    all
}
