use super::catalogue::{RULES, rule};
use super::cost::cost;
use super::echoes::without_echoes;
use super::facts::Facts;
use super::finding::Finding;
use super::rule::Reads;
use super::score::{Score, score};
use crate::data::sort_short;
use crate::session::{Action, Session, State};
use serde::Serialize;

/// What the coach has to say about a session.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Review {
    /// What it saw, the one that matters most first.
    pub findings: Vec<Finding>,
    /// How well it went.
    pub score: Score,
}

/// Looks at a whole session: the routine and everything that was done with it. What each mistake
/// costs is found by playing the session (or a standard rehearsal) with and without it.
///
/// The same session always gets the same review.
pub fn review(session: &Session) -> Review {
    let facts = Facts::of_session(session);
    let mut findings = found(&facts, true);
    for finding in &mut findings {
        price(&facts, finding);
    }
    sum_up(&facts, findings)
}

/// A review in small pieces of work, for a page that has to answer in between.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Reviewing {
    findings: Option<Vec<Finding>>,
    priced: usize,
}

impl Reviewing {
    /// Does the next piece; the whole review once there is no more to do. The session has to be
    /// the same at every call.
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

fn price(facts: &Facts, finding: &mut Finding) {
    if let Some(rule) = rule(finding.rule) {
        finding.cost = cost(facts, rule, finding);
    }
}

fn sum_up(facts: &Facts, mut findings: Vec<Finding>) -> Review {
    // Stable: equals stay in the order of the catalogue.
    sort_short(&mut findings, |a, b| merit(a) > merit(b));
    let score = score(facts, &findings);
    Review { findings, score }
}

/// What can be said of the routine alone, quickly and without any run: for quiet marks while it is
/// being built. What could still come is not missed yet.
pub fn check_routine(state: &State) -> Vec<Finding> {
    found(&Facts::of_state(state), false)
}

/// Edits that mend what a finding is about, for the learner to apply and, if they like, undo.
/// `None` where only doing it differently next time helps.
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

/// What matters most: first its weight, then whether it stops a run, then what it costs.
fn merit(f: &Finding) -> (super::Severity, bool, f64) {
    (f.weight, f.cost.event.is_some(), f.cost.mm.unwrap_or(0.0))
}
