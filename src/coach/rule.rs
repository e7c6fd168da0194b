use super::facts::Facts;
use super::finding::{Finding, Severity, Skill};
use super::script::Script;
use crate::session::Action;

/// One thing good practice asks, how the coach sees that it was not done, and how to mend it.
pub struct Rule {
    /// Stable name in kebab-case; names the fault.
    pub name: &'static str,
    /// The fault in a few words.
    pub title: &'static str,
    /// What good practice asks, in one sentence.
    pub asks: &'static str,
    /// How much it matters.
    pub weight: Severity,
    /// The skill it belongs to.
    pub skill: Skill,
    /// The rule as a page for the learner, Markdown.
    pub page: &'static str,
    /// Three rungs: ask, point, show.
    pub hints: [&'static str; 3],
    /// Whether it reads the routine alone or watches the session.
    pub reads: Reads,
    pub(super) check: fn(&Facts) -> Vec<Finding>,
    /// Edits that mend the routine or the bench as it now stands.
    pub(super) mend: fn(&Facts, &Finding) -> Option<Vec<Action>>,
    /// How the session would have gone without the mistake; if `None`, the mended routine is used
    /// in every run.
    pub(super) without_mistake: Option<fn(&Facts, &Finding, &mut Script)>,
}

/// What a rule looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reads {
    /// The routine; a mistake is one as soon as it stands there.
    Routine,
    /// The routine, once it is complete: something is missing that could still come.
    WholeRoutine,
    /// What was done, run by run.
    Session,
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Rule").field("name", &self.name).finish_non_exhaustive()
    }
}

/// For rules that only the learner can mend, by doing something else next time.
pub(super) fn cannot_mend(_: &Facts, _: &Finding) -> Option<Vec<Action>> {
    None
}
