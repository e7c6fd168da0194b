use super::catalogue::{RULES, rule};
use super::cost::cost;
use super::echoes::without_echoes;
use super::facts::Facts;
use super::finding::Finding;
use super::rule::Reads;
use super::score::{Score, score};
use crate::session::{Action, Session, State};
use serde::Serialize;
use std::cmp::Ordering;

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
    let facts = Facts::of_session(session);
    let mut findings = found(&facts, true);
    for finding in &mut findings {
        price(&facts, finding);
    }
    sum_up(&facts, findings)
}

/// A review in small pieces of work, so that the page can handle input in between.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Reviewing {
    findings: Option<Vec<Finding>>,
    priced: usize,
}

impl Reviewing {
    /// Does the next piece; returns the review after the last one. The session must be the same at
    /// every call.
    pub fn go_on(&mut self, session: &Session) -> Option<Review> {
        let facts = Facts::of_session(session);
        let Some(findings) = &mut self.findings else {
            self.findings = Some(found(&facts, true));
            return None;
        };
        if let Some(finding) = findings.get_mut(self.priced) {
            price(&facts, finding);
            self.priced += 1;
            return None;
        }
        Some(sum_up(&facts, std::mem::take(findings)))
    }
}

/// Works out the cost of a finding.
fn price(facts: &Facts, finding: &mut Finding) {
    if let Some(rule) = rule(finding.rule) {
        finding.cost = cost(facts, rule, finding);
    }
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
    found(&Facts::of_state(state), false)
}

/// Actions that correct what a finding is about, for the learner to apply and undo.
/// `None` if no action can correct it afterwards.
pub fn mend(session: &Session, finding: &Finding) -> Option<Vec<Action>> {
    let facts = Facts::of_session(session);
    let edits = (rule(finding.rule)?.mend)(&facts, finding)?;
    (!edits.is_empty()).then_some(edits)
}

fn found(facts: &Facts, session: bool) -> Vec<Finding> {
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
        findings.extend((rule.check)(facts).into_iter().map(|mut f| {
            f.rule = rule.name;
            f.weight = rule.weight;
            f
        }));
    }
    without_echoes(facts, findings)
}

/// By severity, then by whether it stops a run, then by the cost in mm.
fn by_importance(a: &Finding, b: &Finding) -> Ordering {
    let rank = |f: &Finding| (f.weight, f.cost.event.is_some());
    let mm = |f: &Finding| f.cost.mm.unwrap_or(0.0);
    rank(a).cmp(&rank(b)).then(mm(a).total_cmp(&mm(b)))
}
