use super::facts::Facts;
use super::finding::{Cost, Finding, Severity, Skill};
use super::script::Script;
use crate::session::Action;
use crate::text::{RuleName, Sentence};

/// A rule of good practice: its page, the check for violations, and the mend.
pub struct Rule {
    /// Names the mistake.
    pub name: RuleName,
    /// How severe a violation is.
    pub weight: Severity,
    /// The skill that the rule belongs to.
    pub skill: Skill,
    /// The rule as a page for the learner, Markdown.
    pub page: &'static str,
    /// What the check reads.
    pub reads: Reads,
    /// Finds violations.
    pub(super) check: fn(&Facts) -> Vec<Finding>,
    /// Actions that correct the current routine or cell; `None` if there are none.
    pub(super) mend: fn(&Facts, &Finding) -> Option<Vec<Action>>,
    /// Changes the script of the session to one without the mistake; if `None`, every run uses the
    /// mended routine.
    pub(super) without_mistake: Option<fn(&Facts, &Finding, &mut Script)>,
    /// What few rules have.
    pub traits: RuleTraits,
}

/// What few rules have.
#[derive(Debug, Clone, Copy)]
pub struct RuleTraits {
    /// Rules whose findings are consequences of this mistake. Exceptions that a rule can recognise by
    /// itself are in its own file.
    pub(super) silences: &'static [RuleName],
    /// How the cost is found.
    pub(super) cost: CostKind,
    /// Whether the mistake puts people at risk.
    pub(super) endangers_people: bool,
    /// Whether a finding would reveal what an instructor conceals.
    pub reveals: bool,
}

impl RuleTraits {
    /// Those of most rules.
    pub(super) const USUAL: Self =
        Self { silences: &[], cost: CostKind::Miss, endangers_people: false, reveals: false };
}

/// How the cost of a mistake is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CostKind {
    /// The seam miss, or an event, of the session with the mistake against that without it.
    Miss,
    /// The same; in a rehearsal, the last run has the arc on.
    MissWithArc,
    /// The mean miss of noisy rehearsals.
    Scatter,
    /// By how far the torch misses home.
    HomeMissed,
    /// The greatest speed along a path that has not been tried.
    Speed,
    /// The length welded in a trial.
    BurnedLength,
    /// A person in reach of the torch; nothing at the seam.
    InReach,
    /// What an arc did that no dry run had gone before.
    FirstArc,
}

impl CostKind {
    /// Whether the mistake is a risk that was taken: no run comes out otherwise without it.
    pub(super) fn is_a_risk(self) -> bool {
        matches!(self, Self::InReach | Self::FirstArc)
    }
}

/// What a rule reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reads {
    /// The routine, also an unfinished one.
    Routine,
    /// The routine once it is complete: the rule is about something missing.
    WholeRoutine,
    /// The actions and runs of the session.
    Session,
}

impl Rule {
    /// A finding of this rule with this message. The review fills in cost and whether it can be mended.
    pub(super) fn says(&self, message: Sentence) -> Finding {
        Finding {
            rule: self.name,
            weight: self.weight,
            step: None,
            point: None,
            run: None,
            time_s: None,
            message,
            cost: Cost::default(),
            can_mend: false,
        }
    }
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Rule").field("name", &self.name).finish_non_exhaustive()
    }
}

/// The mend of rules that no action can mend afterwards.
pub(super) fn cannot_mend(_: &Facts, _: &Finding) -> Option<Vec<Action>> {
    None
}
