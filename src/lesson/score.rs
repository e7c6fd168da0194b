use super::ask::WhichRun;
use super::file::LessonKind;
use super::goal::{Goal, wire_in_order};
use super::lesson::Lesson;
use super::progress::GivenAnswer;
use crate::cell::Fault;
use crate::coach::{self, RuleName, ScorePart, Severity};
use crate::session::{Action, Session};
use crate::text::say;

/// How well an attempt at a lesson went.
#[derive(Debug, Clone, PartialEq)]
pub struct LessonScore {
    /// Out of 100; the share of the stages done counts.
    pub total: u8,
    /// What it is made of.
    pub parts: Vec<(Criterion, ScorePart)>,
}

/// What a part of a lesson's score measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Criterion {
    /// Naming the cause, in a drill.
    Cause,
    /// Repairing it, in a drill.
    Repair,
    /// Doing so in few runs, in a drill.
    Runs,
    /// Rules broken and hints asked for, in lessons that are not drills.
    Method,
    /// Reading off what happened. Predictions cost nothing.
    Questions,
}

impl Criterion {
    /// The criterion in one lower-case word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cause => "cause",
            Self::Repair => "repair",
            Self::Runs => "runs",
            Self::Method => "method",
            Self::Questions => "questions",
        }
    }
}

/// Points for the readings of a lesson that asks for some. How points are shared out is our own choice.
const QUESTIONS: f64 = 30.0;
/// Points in a drill.
const CAUSE: f64 = 40.0;
const REPAIR: f64 = 40.0;
const RUNS: f64 = 20.0;
/// Points deducted for a wrong cause, for a repair of what was not broken, and for a run too many.
const WRONG_CAUSE: f64 = 20.0;
const NEEDLESS_REPAIR: f64 = 10.0;
const RUN_TOO_MANY: f64 = 5.0;

impl Lesson {
    /// How well the attempt went, up to now.
    pub fn score(&self, session: &Session) -> LessonScore {
        let progress = self.progress(session);
        let reads = |stage: usize| {
            let ask = self.stages.get(stage).and_then(|s| s.ask.as_ref());
            ask.is_some_and(|ask| ask.run == WhichRun::Last)
        };
        let asked = (0..self.stages.len()).filter(|stage| reads(*stage)).count();
        let mut parts = Vec::new();
        let rest = if asked > 0 { 100.0 - QUESTIONS } else { 100.0 };
        if self.kind == LessonKind::Drill {
            let scale = rest / 100.0;
            parts.extend([
                (Criterion::Cause, self.cause_part(session, scale)),
                (Criterion::Repair, self.repair_part(session, scale)),
                (Criterion::Runs, self.runs_part(session, scale)),
            ]);
        } else {
            parts.push((Criterion::Method, self.method_part(session, rest)));
        }
        if asked > 0 {
            let right = |a: &&GivenAnswer| reads(a.stage) && a.was_right() == Some(true);
            let right = self.answers(session).iter().filter(right).count();
            let points = QUESTIONS * right as f64 / asked as f64;
            let reason = match asked {
                1 => say::question_answered(right),
                _ => say::questions_answered(right, asked),
            };
            parts.push((Criterion::Questions, ScorePart::new(points, QUESTIONS, reason)));
        }
        let sum: f64 = parts.iter().map(|(_, p)| f64::from(p.points)).sum();
        let share = progress.done as f64 / progress.stages.max(1) as f64;
        LessonScore { total: (sum * share).round() as u8, parts }
    }

    /// The rules broken since the start, without those that the lesson breaks on purpose or that it
    /// began with.
    pub(super) fn broken(&self, session: &Session) -> Vec<(RuleName, Severity)> {
        let rules_of = |s: &Session| -> Vec<RuleName> {
            coach::review(s).findings.iter().map(|f| f.rule).collect()
        };
        // Findings at the start of a drill are its symptoms; a single stage leaves later work undone.
        let mut before = Vec::new();
        if self.kind != LessonKind::Guided {
            before = rules_of(&self.start);
        }
        if let (LessonKind::Refresher, Ok(solved)) = (self.kind, self.solved()) {
            before.extend(rules_of(&solved));
        }
        let excused = |rule: RuleName| {
            before.contains(&rule)
                || self.file.on_purpose.contains(&rule)
                || self.variant.drawn.brings(rule)
        };
        let findings = coach::review(session).findings;
        coach::rules_of(findings.iter().filter(|f| !excused(f.rule)))
    }

    /// In a drill: whether the first cause that was named is the right one. `None` before, and elsewhere.
    pub fn cause_at_first_try(&self, session: &Session) -> Option<bool> {
        let named = session.state().named.first()?;
        self.cause().map(|cause| named == cause)
    }

    fn method_part(&self, session: &Session, of: f64) -> ScorePart {
        let (lost, says) = coach::price_of_rules(&self.broken(session));
        let (help, says) = coach::price_of_help(session.state(), says);
        ScorePart::new(of - lost - help, of, say::full_stop(says))
    }

    fn cause_part(&self, session: &Session, scale: f64) -> ScorePart {
        let named = &session.state().named;
        let right = named.iter().position(|n| Some(n.as_str()) == self.cause());
        let wrong = right.unwrap_or(named.len());
        let says = match (right, wrong) {
            (None, _) => say::cause_not_found(),
            (Some(0), _) => say::cause_at_once(),
            (Some(_), 1) => say::cause_after_one(),
            (Some(_), n) => say::cause_after(n),
        };
        let (help, says) = coach::price_of_help(session.state(), says);
        let points = right.map_or(0.0, |n| CAUSE - WRONG_CAUSE * n as f64 - help);
        ScorePart::new(points * scale, CAUSE * scale, say::full_stop(says))
    }

    fn repair_part(&self, session: &Session, scale: f64) -> ScorePart {
        let mended = Goal::Mended.met(session.state(), self.cause());
        let vain = self.own(session).filter(|(n, a)| needless(session, *n, a)).count();
        let points = if mended { REPAIR - NEEDLESS_REPAIR * vain as f64 } else { 0.0 };
        let reason = match (mended, vain) {
            (false, _) => say::not_mended(),
            (true, 0) => say::mended_alone(),
            (true, 1) => say::mended_after_one(),
            (true, n) => say::mended_after(n),
        };
        ScorePart::new(points * scale, REPAIR * scale, reason)
    }

    fn runs_part(&self, session: &Session, scale: f64) -> ScorePart {
        let runs = |s: &Session| {
            s.state().runs.len() - self.start.state().runs.len().min(s.state().runs.len())
        };
        let par = self.solved().map_or(1, |s| runs(&s));
        let used = runs(session);
        let points = RUNS - RUN_TOO_MANY * used.saturating_sub(par) as f64;
        let used = if used == 1 { say::one_run() } else { say::runs(used) };
        let enough = if par == 1 { say::one_is_enough() } else { say::are_enough(par) };
        ScorePart::new(points * scale, RUNS * scale, say::runs_used(used, enough))
    }

    /// The learner's actions, each with its index among the session's actions.
    fn own<'s>(&self, session: &'s Session) -> impl Iterator<Item = (usize, &'s Action)> {
        session.actions().iter().enumerate().skip(self.start_actions())
    }
}

/// Whether the action repairs something that was not broken.
fn needless(session: &Session, n: usize, action: &Action) -> bool {
    if !matches!(action, Action::ClearFault { .. } | Action::CutWire { .. }) {
        return false;
    }
    let Some(before) = session.state_before(n) else { return false };
    match action {
        Action::ClearFault { fault } => before.faults.iter().all(|f| f.name() != fault),
        Action::CutWire { .. } => {
            let wire =
                |f: &Fault| matches!(f, Fault::WireBent { .. } | Fault::StickOutChanged { .. });
            wire_in_order(&before) && !before.faults.iter().any(wire)
        }
        _ => false,
    }
}
