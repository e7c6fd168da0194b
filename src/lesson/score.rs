use super::file::Kind;
use super::lesson::Lesson;
use crate::cell::Fault;
use crate::coach::{self, Weight};
use crate::data::sort_short;
use crate::session::{Action, Session, State};
use serde::Serialize;

/// How well an attempt at a lesson went.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LessonScore {
    /// Out of 100; the share of the stages done counts.
    pub total: u8,
    /// What it is made of.
    pub parts: Vec<LessonScorePart>,
}

/// One part of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LessonScorePart {
    /// What for.
    pub what: &'static str,
    /// Points.
    pub points: u8,
    /// Out of.
    pub of: u8,
    /// Why, in one line.
    pub reason: String,
}

/// Points for the questions of a lesson that has some. How points are shared out is our own choice.
const QUESTIONS: f64 = 30.0;
/// Points in a drill.
const CAUSE: f64 = 40.0;
const REPAIR: f64 = 40.0;
const RUNS: f64 = 20.0;
/// What a wrong cause, a mend that mended nothing and a run too many take.
const WRONG_CAUSE: f64 = 20.0;
const VAIN_MEND: f64 = 10.0;
const RUN_TOO_MANY: f64 = 5.0;

impl Lesson {
    /// How well the attempt went, up to now.
    pub fn score(&self, session: &Session) -> LessonScore {
        let progress = self.progress(session);
        let asked = self.stages.iter().filter(|s| s.ask.is_some()).count();
        let mut parts = Vec::new();
        let rest = if asked > 0 { 100.0 - QUESTIONS } else { 100.0 };
        if self.kind == Kind::Drill {
            let scale = rest / 100.0;
            parts.extend([
                self.cause_part(session, scale),
                self.repair_part(session, scale),
                self.runs_part(session, scale),
            ]);
        } else {
            parts.push(self.method_part(session, rest));
        }
        if asked > 0 {
            let right =
                self.answers(session).iter().filter(|a| a.was_right() == Some(true)).count();
            let points = QUESTIONS * right as f64 / asked as f64;
            let plural = if asked == 1 { "" } else { "s" };
            let reason = format!("{right} of {asked} question{plural} answered rightly.");
            parts.push(part("questions", points, QUESTIONS, reason));
        }
        let sum: f64 = parts.iter().map(|p| f64::from(p.points)).sum();
        let share = progress.done as f64 / progress.stages.max(1) as f64;
        LessonScore { total: (sum * share).round() as u8, parts }
    }

    /// The rules broken since the start, other than on purpose.
    pub(super) fn broken(&self, session: &Session) -> Vec<(&'static str, Weight)> {
        let rules_of = |s: &Session| -> Vec<&'static str> {
            coach::review(s).findings.iter().map(|f| f.rule).collect()
        };
        // What a drill starts with is its symptom; what a single stage leaves undone comes later.
        let mut before = Vec::new();
        if self.kind != Kind::Guided {
            before = rules_of(&self.begin);
        }
        if let (Kind::Refresher, Ok(solved)) = (self.kind, self.solved()) {
            before.extend(rules_of(&solved));
        }
        let excused =
            |rule: &str| before.contains(&rule) || self.file.on_purpose.iter().any(|p| p == rule);
        let findings = coach::review(session).findings;
        let mut rules: Vec<_> =
            findings.iter().filter(|f| !excused(f.rule)).map(|f| (f.rule, f.weight)).collect();
        sort_short(&mut rules, |a, b| a < b);
        rules.dedup();
        rules
    }

    fn method_part(&self, session: &Session, of: f64) -> LessonScorePart {
        let rules = self.broken(session);
        let state = session.state();
        let help = coach::price_of_help(&state.hints, &state.mended);
        let lost = rules.iter().map(|(_, w)| coach::price(*w)).sum::<f64>() + help;
        let mut reason = match rules.as_slice() {
            [] => "No findings".to_owned(),
            [(one, _)] => format!("One finding ({one})"),
            many => format!("{} rules have findings", many.len()),
        };
        reason.push_str(&asked_for(state));
        reason.push('.');
        part("method", of - lost, of, reason)
    }

    fn cause_part(&self, session: &Session, scale: f64) -> LessonScorePart {
        let named = &session.state().named;
        let right = named.iter().position(|n| Some(n.as_str()) == self.cause());
        let wrong = right.unwrap_or(named.len());
        let state = session.state();
        let help = coach::price_of_help(&state.hints, &state.mended);
        let points = right.map_or(0.0, |n| CAUSE - WRONG_CAUSE * n as f64 - help);
        let mut reason = match (right, wrong) {
            (None, _) => "The cause has not been found yet".to_owned(),
            (Some(0), _) => "The cause was named at once".into(),
            (Some(_), 1) => "The cause was named after a wrong one".into(),
            (Some(_), n) => format!("The cause was named after {n} wrong ones"),
        };
        reason.push_str(&asked_for(state));
        reason.push('.');
        part("cause", points * scale, CAUSE * scale, reason)
    }

    fn repair_part(&self, session: &Session, scale: f64) -> LessonScorePart {
        let mended = super::Goal::Mended.met(session.state(), self.cause());
        let vain = self.own(session).filter(|(n, a)| vain(session, *n, a)).count();
        let points = if mended { REPAIR - VAIN_MEND * vain as f64 } else { 0.0 };
        let reason = match (mended, vain) {
            (false, _) => "It is not mended yet.".to_owned(),
            (true, 0) => "Mended, and nothing else was touched.".into(),
            (true, 1) => "Mended, after one mend of what was not broken.".into(),
            (true, n) => format!("Mended, after {n} mends of what was not broken."),
        };
        part("repair", points * scale, REPAIR * scale, reason)
    }

    fn runs_part(&self, session: &Session, scale: f64) -> LessonScorePart {
        let runs = |s: &Session| {
            s.state().runs.len() - self.begin.state().runs.len().min(s.state().runs.len())
        };
        let par = self.solved().map_or(1, |s| runs(&s));
        let used = runs(session);
        let points = RUNS - RUN_TOO_MANY * used.saturating_sub(par) as f64;
        let plural = if used == 1 { "" } else { "s" };
        let enough = if par == 1 { "1 is".to_owned() } else { format!("{par} are") };
        let reason = format!("{used} run{plural}, and {enough} enough.");
        part("runs", points * scale, RUNS * scale, reason)
    }

    /// What the learner did, with its place among the session's actions.
    fn own<'s>(&self, session: &'s Session) -> impl Iterator<Item = (usize, &'s Action)> {
        session.actions().iter().enumerate().skip(self.begun())
    }
}

/// The help that was asked for, for a reason: nothing if there was none.
fn asked_for(state: &State) -> String {
    let some = |n: usize, what: &str| match n {
        0 => None,
        1 => Some(format!("one {what}")),
        n => Some(format!("{n} {what}s")),
    };
    let all: Vec<_> = [(state.hints.len(), "hint"), (state.mended.len(), "mend")]
        .into_iter()
        .filter_map(|(n, what)| some(n, what))
        .collect();
    if all.is_empty() { String::new() } else { format!(", {} asked for", all.join(" and ")) }
}

/// Whether the action mends something that was not broken.
fn vain(session: &Session, n: usize, action: &Action) -> bool {
    let Some(before) = session.state_before(n) else { return false };
    match action {
        Action::ClearFault { fault } => before.faults.iter().all(|f| f.name() != fault),
        Action::CutWire { .. } => {
            let wire =
                |f: &Fault| matches!(f, Fault::WireBent { .. } | Fault::StickOutChanged { .. });
            before.bend.norm() == 0.0 && !before.faults.iter().any(wire)
        }
        _ => false,
    }
}

fn part(what: &'static str, points: f64, of: f64, reason: String) -> LessonScorePart {
    let of = of.round();
    LessonScorePart { what, points: points.clamp(0.0, of).round() as u8, of: of as u8, reason }
}
