use super::ask::WhichRun;
use super::drill::Judged;
use super::file::LessonKind;
use super::goal::{Goal, wire_in_order};
use super::lesson::Lesson;
use super::progress::GivenAnswer;
use super::shift_task::minutes_over;
use crate::cell::{Fault, Mend};
use crate::coach::{self, RuleName, ScorePart, Severity};
use crate::session::{Action, Diagnosis, NamedCause, Session};
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
    /// Naming what is wrong, in a drill.
    Cause,
    /// Pointing at evidence that speaks for it, in a drill.
    Evidence,
    /// Mending nothing but what is broken, in a drill.
    Repair,
    /// Doing so in few minutes, in a drill.
    Minutes,
    /// Minutes lost in a shift, with those that scrap costs.
    Shift,
    /// Rules broken and hints asked for, in other lessons.
    Method,
    /// Reading off what happened. Predictions cost nothing.
    Questions,
}

impl Criterion {
    /// The criterion in one lower-case word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cause => "cause",
            Self::Evidence => "evidence",
            Self::Repair => "repair",
            Self::Minutes => "minutes",
            Self::Shift => "shift",
            Self::Method => "method",
            Self::Questions => "questions",
        }
    }
}

/// At least this many points are a pass.
pub const PASS_SCORE: u8 = 80;
/// Points for the readings of a lesson that asks for some. How points are shared out is our own choice.
const QUESTIONS: f64 = 30.0;
/// Points in a drill.
const CAUSE: f64 = 40.0;
const EVIDENCE: f64 = 20.0;
const REPAIR: f64 = 20.0;
const MINUTES: f64 = 20.0;
/// Points deducted each time a wrong cause is named, or a cause left out; for a mend of what was not
/// broken; and for a minute more than the cheapest way takes.
const WRONG_CAUSE: f64 = 20.0;
const LEFT_OUT: f64 = 10.0;
const NEEDLESS_REPAIR: f64 = 10.0;
const MINUTE_TOO_MANY: f64 = 1.0;

impl Lesson {
    /// How well the attempt went, up to now.
    pub fn score(&self, session: &Session) -> LessonScore {
        let progress = self.progress(session);
        if self.kind == LessonKind::Test {
            return self.test_score(session);
        }
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
                (Criterion::Evidence, self.evidence_part(session, scale)),
                (Criterion::Repair, self.repair_part(session, scale)),
                (Criterion::Minutes, self.minutes_part(session, scale)),
            ]);
        } else if let Some(shift) = self.shift_part(session, rest) {
            parts.push((Criterion::Shift, shift));
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

    /// In a test the answer counts, a prediction too, and nothing else.
    fn test_score(&self, session: &Session) -> LessonScore {
        let right = self.answers(session).iter().filter(|a| a.was_right() == Some(true)).count();
        let points = 100.0 * right as f64;
        let part = ScorePart::new(points, 100.0, say::question_answered(right));
        LessonScore { total: part.points, parts: vec![(Criterion::Questions, part)] }
    }

    /// The rules broken since the start, without those that the lesson breaks on purpose or that it
    /// began with.
    pub(super) fn broken(&self, session: &Session) -> Vec<(RuleName, Severity)> {
        let rules_of = |s: &Session| coach::broken_rules(s).into_iter().map(|(rule, _)| rule);
        // Findings at the start of a drill are its symptoms; a single stage leaves later work undone.
        let mut before = Vec::new();
        if self.kind != LessonKind::Guided {
            before.extend(rules_of(&self.start));
        }
        let alone = [LessonKind::Refresher, LessonKind::Test].contains(&self.kind);
        if alone && let Ok(solved) = self.solved() {
            before.extend(rules_of(&solved));
        }
        let excused = |rule: RuleName| {
            before.contains(&rule)
                || self.file.on_purpose.contains(&rule)
                || self.variant.drawn.brings(rule)
        };
        let mut broken = coach::broken_rules(session);
        broken.retain(|(rule, _)| !excused(*rule));
        broken
    }

    /// In a drill: whether all that is wrong was named the first time, and nothing else. `None` before, and
    /// elsewhere.
    pub fn causes_at_first_try(&self, session: &Session) -> Option<bool> {
        self.variant.planted.as_ref()?;
        let first = session.state().named.first()?;
        Some(self.judged(first).is_right())
    }

    fn method_part(&self, session: &Session, of: f64) -> ScorePart {
        let (lost, says) = coach::price_of_rules(&self.broken(session));
        let (help, says) = coach::price_of_help(session.state(), says);
        ScorePart::new(of - lost - help, of, say::full_stop(says))
    }

    /// One point less for each minute more than the best decisions lose.
    fn shift_part(&self, session: &Session, of: f64) -> Option<ScorePart> {
        let (yours, best) = (self.shift(session)?.tally(), self.best_of_shift()?);
        let lost = f64::from(minutes_over(&yours, &best)) * of / 100.0;
        let says = say::shift_lost(
            yours.scrap,
            yours.needless_stops,
            yours.cost_minutes() as usize,
            best.cost_minutes() as usize,
        );
        let (help, says) = coach::price_of_help(session.state(), says);
        Some(ScorePart::new(of - lost - help, of, say::full_stop(says)))
    }

    fn cause_part(&self, session: &Session, scale: f64) -> ScorePart {
        let named = &session.state().named;
        // The same said twice is said once.
        let same = |a: &Diagnosis, b: &Diagnosis| {
            let has = |a: &Diagnosis, c: &NamedCause| a.causes.iter().any(|o| o.cause == c.cause);
            a.causes.iter().all(|c| has(b, c)) && b.causes.iter().all(|c| has(a, c))
        };
        let is_new = |(n, d): &(usize, &Diagnosis)| !named.iter().take(*n).any(|b| same(b, d));
        let judged: Vec<_> =
            named.iter().enumerate().filter(is_new).map(|(_, d)| self.judged(d)).collect();
        let found = judged.iter().any(Judged::is_right);
        let wrong: usize = judged.iter().map(Judged::wrong).sum();
        let left_out: usize = judged.iter().filter(|j| !j.is_right()).map(|j| j.missing).sum();
        let says = match (found, wrong, left_out) {
            (false, ..) => say::causes_not_found(),
            (true, 0, 0) => say::causes_at_once(),
            (true, wrong, left_out) => say::causes_after(wrong, left_out),
        };
        let (help, says) = coach::price_of_help(session.state(), says);
        let lost = WRONG_CAUSE * wrong as f64 + LEFT_OUT * left_out as f64 + help;
        let points = if found { CAUSE - lost } else { 0.0 };
        ScorePart::new(points * scale, CAUSE * scale, say::full_stop(says))
    }

    fn evidence_part(&self, session: &Session, scale: f64) -> ScorePart {
        let judged = self.judged_with_evidence(session).filter(Judged::is_right);
        let causes = judged.map(|j| j.causes).unwrap_or_default();
        let causes: Vec<_> = causes.iter().filter(|c| c.right).collect();
        let told = causes.iter().filter(|c| !c.told_from.is_empty()).count();
        let points = EVIDENCE * told as f64 / causes.len().max(1) as f64;
        let reason = match (causes.len(), told) {
            (0, _) => say::full_stop(say::causes_not_found()),
            (all, told) if told == all => say::evidence_tells(),
            (1, _) => say::evidence_tells_nothing(),
            (all, told) => say::evidence_tells_some(told, all),
        };
        ScorePart::new(points * scale, EVIDENCE * scale, reason)
    }

    fn repair_part(&self, session: &Session, scale: f64) -> ScorePart {
        let mended = Goal::Mended.met(session.state(), &self.planted(), None);
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

    /// Whether the last mend of this kind was of something broken; `None` if the learner has not made one.
    pub fn was_needed(&self, session: &Session, by: Mend) -> Option<bool> {
        let mends = self.own(session).filter(|(_, a)| **a == Action::Mend { by });
        mends.last().map(|(n, action)| !needless(session, n, action))
    }

    /// Minutes that the learner has used since the attempt began.
    pub fn minutes_used(&self, session: &Session) -> u32 {
        session.state().minutes().saturating_sub(self.start.state().minutes())
    }

    fn minutes_part(&self, session: &Session, scale: f64) -> ScorePart {
        let used = self.minutes_used(session);
        let least = self.solved().map_or(used, |solved| self.minutes_used(&solved));
        let points = MINUTES - MINUTE_TOO_MANY * f64::from(used.saturating_sub(least));
        let reason = say::minutes_used(used as usize, least as usize);
        ScorePart::new(points * scale, MINUTES * scale, reason)
    }

    /// The learner's actions, each with its index among the session's actions.
    fn own<'s>(&self, session: &'s Session) -> impl Iterator<Item = (usize, &'s Action)> {
        session.actions().iter().enumerate().skip(self.start_actions_in(session))
    }
}

/// Whether the action repairs something that was not broken.
fn needless(session: &Session, n: usize, action: &Action) -> bool {
    let Some(before) = session.state_before(n) else { return false };
    let broken = |which: &dyn Fn(&Fault) -> bool| before.faults.iter().any(which);
    match action {
        Action::ClearFault { fault } => !broken(&|f| f.name() == fault),
        Action::Mend { by } => {
            let wire = by.cuts_wire() && !wire_in_order(&before);
            !wire && !broken(&|f| f.kind().mends.contains(by))
        }
        Action::CutWire { .. } => wire_in_order(&before) && !broken(&|f| f.kind().is_of_the_wire()),
        _ => false,
    }
}
