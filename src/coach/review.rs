use super::catalogue::{RULES, rule};
use super::cost::{cost, without_noise};
use super::echoes::without_echoes;
use super::facts::Facts;
use super::finding::{CostKnown, Finding, Severity};
use super::house_rules::{holds, is_told};
use super::pieces::{Pieces, at_once, pause};
use super::rule::{Reads, Rule};
use super::score::{Score, rules_of, score};
use crate::session::{Action, Session, State};
use crate::text::RuleName;
use serde::Serialize;
use std::cmp::Ordering;
use std::sync::Arc;

/// The coach's findings about a session, and its score.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Review {
    /// The findings, the most severe first.
    pub findings: Vec<Finding>,
    /// The score.
    pub score: Score,
}

/// Reviews a whole session: the routine and all runs. The cost of each mistake comes from playing the
/// session (or a standard rehearsal) with and without it.
///
/// The result depends on the session alone.
pub fn review(session: &Session) -> Review {
    at_once(reviewed(session))
}

/// The rules that a session breaks, each once, with their severity: those of [`review`], in a fraction of
/// its time, since nothing is played to learn what they cost.
pub(crate) fn broken_rules(session: &Session) -> Vec<(RuleName, Severity)> {
    // What a house does not count is told all the same where it costs something.
    if session.header().house_rules.is_some() {
        return rules_of(review(session).findings.iter());
    }
    let found = async { found(&Facts::of_session(session).await, true).await };
    rules_of(at_once(found).iter())
}

/// The same as [`review`] in small pieces of work, of a session as it now is.
pub fn review_in_pieces(session: Session) -> Pieces<Review> {
    Pieces::new(async move { reviewed(&session).await })
}

async fn reviewed(session: &Session) -> Review {
    let facts = Facts::of_session(session).await;
    let mut findings = found(&facts, true).await;
    let as_it_was = if findings.is_empty() { None } else { without_noise(session).await };
    for finding in &mut findings {
        let rule = rule(finding.rule);
        finding.can_mend = edits(&facts, rule, finding).is_some();
        finding.cost = cost(&facts, rule, finding, as_it_was.as_ref()).await;
        pause().await;
    }
    findings.retain(|finding| is_told(session.header().house_rules.as_deref(), finding));
    sum_up(&facts, findings)
}

fn sum_up(facts: &Facts, mut findings: Vec<Finding>) -> Review {
    // Stable: equal findings stay in the order of the catalogue.
    findings.sort_by(|a, b| by_importance(b, a));
    let score = score(facts, &findings);
    Review { findings, score }
}

/// Findings about the routine alone, without runs and costs: for marks while it is being written.
/// Rules about missing steps count only once the routine is complete.
pub fn check_routine(state: &State) -> Vec<Finding> {
    at_once(checked(state))
}

/// The same in small pieces of work.
pub fn check_routine_in_pieces(state: Arc<State>) -> Pieces<Vec<Finding>> {
    Pieces::new(async move { checked(&state).await })
}

/// Whether the routine breaks a rule of the catalogue, whatever the house rules say.
pub fn breaks(state: &State, name: RuleName) -> bool {
    at_once(async {
        let facts = Facts::of_state(state).await;
        found(&facts, false).await.iter().any(|finding| finding.rule == name)
    })
}

async fn checked(state: &State) -> Vec<Finding> {
    let facts = Facts::of_state(state).await;
    let mut findings = found(&facts, false).await;
    for finding in &mut findings {
        finding.can_mend = edits(&facts, rule(finding.rule), finding).is_some();
        pause().await;
    }
    findings.retain(|finding| holds(state.house_rules.as_deref(), finding.rule));
    findings
}

/// Actions that correct what a finding is about, for the learner to apply and undo.
/// `None` if no action can correct it afterwards.
pub fn mend(session: &Session, finding: &Finding) -> Option<Vec<Action>> {
    let facts = at_once(Facts::of_session(session));
    edits(&facts, rule(finding.rule), finding)
}

fn edits(facts: &Facts, rule: &Rule, finding: &Finding) -> Option<Vec<Action>> {
    (rule.mend)(facts, finding).filter(|edits| !edits.is_empty())
}

async fn found(facts: &Facts<'_>, session: bool) -> Vec<Finding> {
    let mut findings = Vec::new();
    for rule in RULES {
        let due = match rule.reads {
            Reads::Routine => true,
            Reads::WholeRoutine => facts.whole,
            Reads::Session => session,
        };
        if !due {
            continue;
        }
        findings.extend((rule.check)(facts));
        pause().await;
    }
    without_echoes(facts, findings).await
}

/// By what it does at the seam: whether it stops a run, then its cost in mm, then its severity.
fn by_importance(a: &Finding, b: &Finding) -> Ordering {
    let mm = |f: &Finding| f.cost.mm.unwrap_or(0.0);
    let stops = |f: &Finding| f.cost.event.is_some() && f.cost.known != CostKnown::NotYet;
    stops(a).cmp(&stops(b)).then(mm(a).total_cmp(&mm(b))).then(a.weight.cmp(&b.weight))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn broken_rules_are_those_of_the_review() {
        for text in [
            include_str!("../../tests/cases/sessions/as-it-should-be.json"),
            include_str!("../../tests/cases/sessions/home-rides-along.json"),
            include_str!("../../tests/cases/sessions/reference-retaken.json"),
        ] {
            let session = Session::from_json(text).expect("a session of ours");
            let reviewed = rules_of(review(&session).findings.iter());
            assert_eq!(broken_rules(&session), reviewed);
        }
        let text = include_str!("../../tests/cases/sessions/home-rides-along.json");
        let session = Session::from_json(text).expect("a session of ours");
        assert!(broken_rules(&session).iter().any(|(rule, _)| *rule == RuleName::HomeFollowsPart));
    }
}
