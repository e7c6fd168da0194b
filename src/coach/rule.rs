use super::facts::Facts;
use super::finding::{Finding, Severity, Skill};
use super::script::Script;
use crate::session::Action;

/// A rule of good practice: its texts, the check for violations, and the mend.
pub struct Rule {
    /// Stable name in kebab-case; names the mistake.
    pub name: &'static str,
    /// The mistake in a few words.
    pub title: &'static str,
    /// What good practice asks, in one sentence.
    pub asks: &'static str,
    /// How severe a violation is.
    pub weight: Severity,
    /// The skill that the rule belongs to.
    pub skill: Skill,
    /// The rule as a page for the learner, Markdown.
    pub page: &'static str,
    /// The hints of level 1 (asks), 2 (points to the place) and 3 (says what to do).
    pub hints: [&'static str; 3],
    /// What the check reads.
    pub reads: Reads,
    /// Finds violations.
    pub(super) check: fn(&Facts) -> Vec<Finding>,
    /// Actions that correct the current routine or cell; `None` if there are none.
    pub(super) mend: fn(&Facts, &Finding) -> Option<Vec<Action>>,
    /// Changes the script of the session to one without the mistake; if `None`, every run uses the
    /// mended routine.
    pub(super) without_mistake: Option<fn(&Facts, &Finding, &mut Script)>,
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

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Rule").field("name", &self.name).finish_non_exhaustive()
    }
}

/// The mend of rules that no action can mend afterwards.
pub(super) fn cannot_mend(_: &Facts, _: &Finding) -> Option<Vec<Action>> {
    None
}
