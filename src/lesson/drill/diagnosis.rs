//! What was named: is it what is wrong, and does the evidence pointed at tell it from something else?

use super::draw::may_be_planted;
use super::judged::Judged;
use super::pairs::may_come_together;
use crate::cell::Fault;
use crate::lesson::lesson::Lesson;
use crate::session::{Action, Diagnosis, Evidence, NOTHING_WRONG, NamedCause, Session};

impl Lesson {
    /// Whether these causes are all that is planted, and what of them is wrong. What their evidence tells
    /// stands in [`Lesson::judged_with_evidence`].
    pub fn judged(&self, named: &Diagnosis) -> Judged {
        Judged::of(named, &self.planted())
    }

    /// The same of the last that was named in a session, with what the evidence for each right cause tells
    /// it from. The cell says so: the attempt is played with each other cause instead.
    pub fn judged_with_evidence(&self, session: &Session) -> Option<Judged> {
        let begun = self.start_actions_in(session).min(self.whole_start_in(session));
        let own = &session.actions()[begun..];
        let at = own.iter().rposition(|a| matches!(a, Action::Name { .. }))?;
        let mut judged = self.judged(session.state().named.last()?);
        for cause in judged.causes.iter_mut().filter(|c| c.right) {
            if let (Some(by), Some(others)) = (cause.by, Others::of(self, &cause.cause, &own[..at]))
            {
                cause.told_from = others.told_by(by);
            }
        }
        Some(judged)
    }
}

/// What else could be wrong in place of one cause: those of the others that the ends of the runs at the
/// start leave possible, or all of them if these leave none; each played with the learner's own actions.
pub(super) struct Others {
    actual: Session,
    others: Vec<(&'static str, Session)>,
}

impl Others {
    pub(super) fn of(lesson: &Lesson, cause: &str, own: &[Action]) -> Option<Self> {
        let drawn = lesson.variant.planted.as_ref()?;
        let actual = lesson.with_planted(&drawn.faults, own)?;
        let rest: Vec<Fault> = drawn.faults.iter().filter(|f| f.name() != cause).cloned().collect();
        let runs = lesson.start_with(&drawn.faults)?.state().runs.len();
        let ends = |s: &Session| (1..=runs).map(|run| s.state().outcome(run)).collect::<Vec<_>>();
        let actual_ends = ends(&actual);
        let planted = |other: &Fault| drawn.faults.iter().any(|f| f.name() == other.name());
        let beside = |other: &Fault| rest.iter().all(|f| may_come_together(f.name(), other.name()));
        let instead = drawn.possible.iter().filter(|other| !planted(other) && beside(other));
        let mut others: Vec<_> = instead
            .map(|other| (other.name(), [&rest[..], std::slice::from_ref(other)].concat()))
            .filter(|(_, set)| may_be_planted(set, &drawn.last_run))
            .filter_map(|(name, set)| Some((name, lesson.with_planted(&set, own)?)))
            .collect();
        // Where the ends alone rule out all of them, any reading that is another counts.
        if others.iter().any(|(_, played)| ends(played) == actual_ends) {
            others.retain(|(_, played)| ends(played) == actual_ends);
        }
        if cause != NOTHING_WRONG {
            others.extend(lesson.with_planted(&rest, own).map(|s| (NOTHING_WRONG, s)));
        }
        Some(Self { actual, others })
    }

    /// From which of them this evidence tells the cause.
    pub(super) fn told_by(&self, by: Evidence) -> Vec<&'static str> {
        let Some(seen) = self.actual.state().sign(by) else { return Vec::new() };
        let differs = |(_, s): &&(&str, Session)| s.state().sign(by).as_ref() != Some(&seen);
        self.others.iter().filter(differs).map(|(name, _)| *name).collect()
    }

    /// Everything that the runs read.
    pub(super) fn readings(&self) -> impl Iterator<Item = Evidence> + use<> {
        self.actual.state().readings()
    }

    /// The looks made.
    fn looks(&self) -> impl Iterator<Item = Evidence> {
        self.actual.state().looks.iter().map(|look| Evidence::Look(look.at))
    }
}

/// What is planted, each with the evidence in this session that tells it from most others.
pub(in crate::lesson) fn right_causes(lesson: &Lesson, session: &Session) -> Vec<NamedCause> {
    let begun = lesson.start_actions_in(session).min(lesson.whole_start_in(session));
    let own = &session.actions()[begun..];
    let named = |cause: &str| {
        let by = Others::of(lesson, cause, own).and_then(|others| {
            let all = others.looks().chain(others.readings());
            let told = all.map(|by| (others.told_by(by).len(), by)).filter(|(n, _)| *n > 0);
            told.max_by_key(|(n, _)| *n).map(|(_, by)| by)
        });
        NamedCause { cause: cause.into(), by }
    };
    match lesson.planted().as_slice() {
        [] => vec![named(NOTHING_WRONG)],
        planted => planted.iter().map(|cause| named(cause)).collect(),
    }
}
