//! What a person sees who looks at something in the cell, and the minutes that work takes.

use super::evidence::{Diagnosis, NamedCause};
use super::state::State;
use crate::cell::{Fault, Look, Wire};
use crate::geometry::Vector3;
use crate::routine::{DEFAULT_SENSING_SPEED_MM_S, Event, EventKind, Instruction, RunLog};
use crate::text::{Sentence, say, speed, word};

/// Minutes that a run takes beyond its own time: to leave the cell, make it ready, and come back (common
/// practice, no source).
pub const RUN_HANDLING_MINUTES: u32 = 1;
/// Minutes that it takes to put the part somewhere (common practice, no source).
pub const PLACE_MINUTES: u32 = 1;

/// Bends and stick-outs that differ by less are not seen, mm.
const SEEN_MM: f64 = 0.4;

impl State {
    /// Minutes of work so far: runs, looks, and what hands did in the cell.
    pub fn minutes(&self) -> u32 {
        self.runs.iter().map(|run| run_minutes(run)).sum::<u32>() + self.hand_minutes
    }

    /// What a person sees who looks there now: one sentence at least.
    pub(crate) fn sees(&self, at: Look) -> Vec<Sentence> {
        let mut seen: Vec<Sentence> =
            self.faults.iter().filter_map(|fault| fault.seen(at, &self.part)).collect();
        match at {
            Look::WireTip => seen.extend(self.wire_seen()),
            Look::Bead => return vec![self.bead_seen()],
            Look::Settings => return vec![self.settings_seen()],
            _ => {}
        }
        if seen.is_empty() {
            seen.push(match at {
                Look::WireTip => say::seen_wire_straight(),
                Look::Nozzle => say::seen_nozzle_clear(),
                Look::WorkLead => say::seen_lead_on(),
                Look::Clamps => say::seen_clamps_hold(),
                Look::Edges => say::seen_edges_clean(),
                Look::Square => say::seen_square(),
                Look::Tag | Look::Settings | Look::Bead => {
                    say::seen_tag(word(self.part.title.as_str()))
                }
            });
        }
        seen
    }

    /// These causes, named as things stand now.
    pub fn diagnosis(&self, causes: Vec<NamedCause>) -> Diagnosis {
        let cut_off = self.cut_off().is_some_and(|(_, bend)| bend.xy().norm() > SEEN_MM);
        Diagnosis { causes, runs: self.runs.len(), wire_bent: self.wire_is_bent() || cut_off }
    }

    /// Whether the wire is seen to be bent.
    pub fn wire_is_bent(&self) -> bool {
        // A wire that stands elsewhere in a worn tip is straight all the same.
        self.wire.bend != self.tip_bend && self.wire.bend.xy().norm() > SEEN_MM
    }

    /// What is odd about the wire, and about the end that the cutter took off it last.
    fn wire_seen(&self) -> impl Iterator<Item = Sentence> + use<> {
        let bend = self.wire_is_bent().then(|| towards(&self.wire.bend));
        let more = self.wire.stick_out_mm - self.settings.stick_out_mm;
        let length = (more.abs() > SEEN_MM)
            .then(|| if more > 0.0 { say::seen_wire_longer() } else { say::seen_wire_shorter() });
        let ball = self.wire.ball.then(say::seen_ball);
        let now = bend.map(say::seen_wire_bent).into_iter().chain(ball).chain(length);
        now.chain(self.cut_off_seen())
    }

    /// What is odd about the end that was trimmed off in the last run. An arc always leaves a ball on it,
    /// and burns away what was there before.
    fn cut_off_seen(&self) -> Vec<Sentence> {
        let Some((wire, bend)) = self.cut_off() else { return Vec::new() };
        let bent = (bend.xy().norm() > SEEN_MM).then(|| say::seen_cut_off_bent(towards(&bend)));
        let ball = wire.ball.then(say::seen_cut_off_ball);
        bent.into_iter().chain(ball).collect()
    }

    /// The wire whose end was trimmed off in the last run, and its bend.
    fn cut_off(&self) -> Option<(Wire, Vector3<f64>)> {
        let last = self.runs.last().zip(self.run_contexts.last()).filter(|(run, _)| !run.arc);
        let (run, context) = last?;
        let trimmed = |e: &&Event| e.what == EventKind::WireTrimmed;
        let time = run.events.iter().rfind(trimmed)?.time;
        let (_, wire) = run.wire.iter().rfind(|(from, _)| *from < time)?;
        Some((*wire, wire.bend - context.began.tip_bend))
    }

    fn settings_seen(&self) -> Sentence {
        let asked = self.routine.steps.iter().find_map(|s| match s.instruction {
            Instruction::SensingOn { speed_mm_s, .. } => Some(speed_mm_s),
            _ => None,
        });
        let asked = asked.unwrap_or(DEFAULT_SENSING_SPEED_MM_S);
        match self.faults.iter().find_map(Fault::sensing_speed) {
            Some(set) => say::seen_other_speed(speed(set, 0), speed(asked, 0)),
            None => say::seen_settings(speed(asked, 0)),
        }
    }

    /// The bead of the last run that welded.
    fn bead_seen(&self) -> Sentence {
        let welded = self.runs.iter().rev().find(|run| run.arc && !run.welds.is_empty());
        match welded.and_then(|run| Some((run.landed(), run.worst_miss()?))) {
            None => say::seen_no_bead(),
            Some((true, _)) => say::seen_bead_on_seam(),
            Some((false, miss)) if miss > 0.0 => say::seen_bead_on_plate(),
            Some(_) => say::seen_bead_off_plate(),
        }
    }
}

/// Minutes that a run takes: its own, begun ones in full, and the handling.
fn run_minutes(run: &RunLog) -> u32 {
    (run.duration / 60.0).ceil() as u32 + RUN_HANDLING_MINUTES
}

/// Which way something points on the plan, roughly.
fn towards(v: &Vector3<f64>) -> Sentence {
    match (v.x.abs() > v.y.abs(), v.x > 0.0, v.y > 0.0) {
        (true, true, _) => say::bent_right(),
        (true, false, _) => say::bent_left(),
        (false, _, true) => say::bent_up(),
        (false, _, false) => say::bent_down(),
    }
}
