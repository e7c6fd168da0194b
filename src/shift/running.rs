use super::felt::{Agreement, Felt, TouchFelt};
use super::followed::{Alarm, Followed};
use super::trouble::{Trouble, TroubleKind, draw};
use crate::cell::{Cell, Fault, FixturePlay, Noise, Part};
use crate::geometry::{Point3, Pose};
use crate::locate::chi2_limit;
use crate::routine::{Memory, Routine, RunLog, RunOptions, Runner, Search, SearchOutcome};
use crate::session::{Decision, LookAt, State, StudyError, check_study};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use thiserror::Error;

/// Minutes that one look takes, with mending what is found (common practice, no source).
pub const LOOK_MINUTES: u32 = 2;
/// Minutes until the setter has put everything right (common practice, no source).
pub const STOP_MINUTES: u32 = 15;
/// Minutes that a part welded beside its seam costs: more than a stop, so that doubt is worth one
/// (common practice, no source).
pub const SCRAP_MINUTES: u32 = 30;
/// Parts of a shift at most.
pub const MOST_PARTS: usize = 200;

/// Standard deviation of where parts lie, as a share of the fixture's play: most of them lie alike
/// (common practice, no source).
const SPREAD: f64 = 0.2;
/// How many times as much they stray once a clamp is worn.
const WORN_SPREAD: f64 = 2.0;
/// Streams of random numbers beyond those of searches: where parts lie, and how they slip.
const PLACE: u64 = u64::MAX;
const SLIP: u64 = u64::MAX - 1;
/// Runs of one part at most: one, and one more for each trouble that is mended while it waits.
const RUNS_A_PART: usize = 8;

/// What became of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// As it was felt last.
    pub felt: Felt,
    /// What was looked at, and whether something was wrong with it.
    pub looks: Vec<(LookAt, bool)>,
    /// The seam miss, mm, and whether it landed; `None` if the part was set aside or not welded.
    pub weld: Option<(f64, bool)>,
    /// Whether the setter was called, and whether there was cause.
    pub stop: Option<bool>,
    /// How long its last run took, s.
    pub seconds: f64,
    /// Whether it was an alarm, at least before what was wrong was mended: not found, touches that
    /// disagree, or an offset outside the limits of the shift.
    pub alarm: bool,
}

/// What a shift has come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShiftTally {
    /// Parts that landed.
    pub good: usize,
    /// Parts welded beside their seam, or not to the end.
    pub scrap: usize,
    /// Parts set aside.
    pub set_aside: usize,
    /// Looks that found nothing.
    pub needless_looks: usize,
    /// Stops without cause.
    pub needless_stops: usize,
    /// Minutes spent looking and stopped.
    pub minutes: u32,
    /// Parts that were not found, whose touches disagreed, or whose offset was outside the limits of the
    /// shift.
    #[serde(default)]
    pub alarms: usize,
    /// Looks and stops at these.
    #[serde(default)]
    pub decisions_at_alarms: usize,
}

impl ShiftTally {
    /// Minutes with those that scrap costs: what the best shift has least of.
    pub const fn cost_minutes(&self) -> u32 {
        // A record from outside may say anything.
        self.minutes.saturating_add(SCRAP_MINUTES.saturating_mul(self.scrap as u32))
    }
}

/// Why a decision cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum ShiftError {
    /// Every part is done.
    #[error("the shift is over: expected a decision before its last part is done")]
    Over,
    /// The part was not found.
    #[error("part {0} was not found: expected a look or a stop")]
    NotFound(usize),
}

/// A shift under way.
#[derive(Debug, Clone)]
pub struct Shift {
    job: Arc<Job>,
    /// The cell between parts: with the wire as the last run left it.
    cell: Cell,
    /// Drawn at the start; those that are mended are marked.
    pub(super) troubles: Vec<Trouble>,
    pub(super) done: Vec<Done>,
    /// The run of the part that waits, whose weld nobody has seen yet.
    pub(super) waiting: Option<Waiting>,
}

/// What does not change over a shift.
#[derive(Debug)]
struct Job {
    part: Arc<Part>,
    routine: Arc<Routine>,
    memory: Memory,
    seed: u64,
    parts: usize,
}

#[derive(Debug, Clone)]
pub(super) struct Waiting {
    felt: Felt,
    looks: Vec<(LookAt, bool)>,
    pub(super) log: RunLog,
    alarm: bool,
    /// The cell after the weld.
    after: Cell,
}

impl Shift {
    /// A shift of so many parts with the routine and the reference of a session as it stands.
    ///
    /// # Errors
    /// If the routine finds no place, or has no reference of one.
    pub fn new(state: &State, seed: u64, parts: usize) -> Result<Self, StudyError> {
        check_study(state)?;
        let parts = parts.clamp(1, MOST_PARTS);
        let memory = Memory { reference_flag: false, ..Memory::clone(&state.memory) };
        let (part, routine) = (state.part.clone(), state.routine.clone());
        let job = Arc::new(Job { part, routine, memory, seed, parts });
        let (cell, troubles) = (state.cell(), draw(seed, parts));
        let mut shift = Self { job, cell, troubles, done: Vec::new(), waiting: None };
        shift.feel(Vec::new(), false);
        Ok(shift)
    }

    /// The part that is made in it.
    pub fn part(&self) -> &Part {
        &self.job.part
    }

    /// What was looked at while the part waits, and whether something was wrong with it.
    pub fn looks(&self) -> &[(LookAt, bool)] {
        self.waiting.as_ref().map_or(&[], |w| &w.looks)
    }

    /// How many parts it has.
    pub fn parts(&self) -> usize {
        self.job.parts
    }

    /// The part that waits for a decision; `None` once the shift is over.
    pub fn now(&self) -> Option<&Felt> {
        self.waiting.as_ref().map(|w| &w.felt)
    }

    /// Every part felt so far, the one that waits last.
    pub fn felt(&self) -> impl Iterator<Item = &Felt> {
        self.done.iter().map(|d| &d.felt).chain(self.now())
    }

    /// The parts done, the first one first. How they were welded is not for the operator before the end.
    pub fn done(&self) -> &[Done] {
        &self.done
    }

    /// What was wrong, and when: for the end, and for whoever teaches.
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }

    /// Makes a decision about the part that waits.
    ///
    /// # Errors
    /// If the shift is over, or the part was not found and cannot be welded.
    pub fn decide(&mut self, decision: Decision) -> Result<(), ShiftError> {
        let mut waiting = self.waiting.take().ok_or(ShiftError::Over)?;
        let number = waiting.felt.part;
        match decision {
            Decision::GoOn if waiting.felt.offset.is_none() => {
                self.waiting = Some(waiting);
                return Err(ShiftError::NotFound(number));
            }
            Decision::GoOn => {
                let weld = waiting.log.worst_miss().map_or(f64::NAN, f64::abs);
                let weld = Some((weld, waiting.log.landed()));
                self.cell = waiting.after.clone();
                self.finish(waiting, weld, None);
            }
            Decision::Look(at) => {
                let found = self.mend(number, |kind| kind.shows_at() == at);
                waiting.looks.push((at, found));
                if found {
                    self.feel(waiting.looks, waiting.alarm);
                } else {
                    self.waiting = Some(waiting);
                }
            }
            Decision::Stop => {
                let stop = Some(self.mend(number, |_| true));
                self.finish(waiting, None, stop);
            }
        }
        Ok(())
    }

    /// What the shift has come to so far.
    pub fn tally(&self) -> ShiftTally {
        let mut all = ShiftTally::default();
        for part in &self.done {
            match part.weld {
                Some((_, true)) => all.good += 1,
                Some((_, false)) => all.scrap += 1,
                None => all.set_aside += 1,
            }
            all.needless_stops += usize::from(part.stop == Some(false));
            all.minutes += if part.stop.is_some() { STOP_MINUTES } else { 0 };
            if part.alarm {
                all.alarms += 1;
                all.decisions_at_alarms += part.looks.len() + usize::from(part.stop.is_some());
            }
        }
        if let Some(waiting) = self.waiting.as_ref().filter(|waiting| waiting.alarm) {
            all.alarms += 1;
            all.decisions_at_alarms += waiting.looks.len();
        }
        for (_, found) in self.done.iter().flat_map(|part| &part.looks).chain(self.looks()) {
            all.needless_looks += usize::from(!found);
            all.minutes += LOOK_MINUTES;
        }
        all
    }

    /// Ends the part that waited, and feels the next one.
    fn finish(&mut self, waiting: Waiting, weld: Option<(f64, bool)>, stop: Option<bool>) {
        let Waiting { felt, looks, log, alarm, .. } = waiting;
        self.done.push(Done { felt, looks, weld, stop, seconds: log.duration, alarm });
        if self.done.len() < self.job.parts {
            self.feel(Vec::new(), false);
        }
    }

    /// Puts right what is wrong at this part; whether there was anything.
    fn mend(&mut self, part: usize, this: impl Fn(TroubleKind) -> bool) -> bool {
        let mut found = false;
        for trouble in self.troubles.iter_mut().filter(|t| t.is_active(part) && this(t.kind)) {
            trouble.mended_at = Some(part);
            found = true;
        }
        if found {
            self.cell.cut_wire(self.cell.settings().stick_out_mm);
        }
        found
    }

    /// Feels the next part, with what is wrong now, and keeps its run; `alarm` if it was one before.
    fn feel(&mut self, looks: Vec<(LookAt, bool)>, alarm: bool) {
        let part = self.done.len() + 1;
        let tries = looks.iter().filter(|(_, found)| *found).count();
        let (mut cell, slip) = self.cell_at(part);
        let number = part * RUNS_A_PART + tries;
        let options = RunOptions { arc: true, slip, ..RunOptions::new(number, self.job.seed) };
        let mut memory = self.job.memory.clone();
        let mut runner = Runner::new(options, &cell, self.job.part.rest);
        runner.advance(&self.job.routine, &mut cell, &mut memory, None);
        let log = RunLog::clone(runner.log());
        let felt = felt(part, &log, &self.job.part.play);
        let mut after = self.cell.clone();
        after.wire = cell.wire;
        self.waiting = Some(Waiting { felt, looks, log, alarm, after });
        let alarm = alarm || self.alarm().is_some();
        self.waiting = self.waiting.take().map(|waiting| Waiting { alarm, ..waiting });
    }

    /// Why the part that waits calls for a decision, if it does.
    pub fn alarm(&self) -> Option<Alarm> {
        self.now()?;
        Alarm::of(&self.felt().collect::<Vec<_>>(), &self.job.part.play, self.parts())
    }

    /// The values of what is followed so far, that of the part that waits last.
    pub fn values(&self, what: Followed) -> Vec<Option<f64>> {
        what.values(&self.felt().collect::<Vec<_>>())
    }

    /// The limits of what is followed, once they are known: of the touches' agreement what chance allows, of
    /// the others what the first parts set.
    pub fn limits(&self, what: Followed) -> Option<[f64; 2]> {
        what.limits(&self.felt().collect::<Vec<_>>(), self.parts())
    }

    /// The cell with a part in it and what is wrong now; and how the part will slip.
    fn cell_at(&self, number: usize) -> (Cell, Option<Pose>) {
        let part = &self.job.part;
        let active = || self.troubles.iter().filter(|t| t.is_active(number));
        let fault = |t: &Trouble| t.fault(number, self.job.seed);
        let faults: Vec<Fault> = active().filter_map(fault).collect();
        // The faults fit the part: `Shift::new` draws them so.
        let mut cell =
            Cell::new(part, self.cell.settings(), &faults).unwrap_or_else(|_| self.cell.clone());
        let bend = cell.wire.bend;
        cell.wire = self.cell.wire;
        cell.wire.bend += bend;
        let worn = active().any(|t| t.kind == TroubleKind::ClampWorn);
        let mut noise = Noise::new(self.job.seed, number as u64, PLACE);
        cell.place_part(place(&part.play, if worn { WORN_SPREAD } else { 1.0 }, &mut noise));
        cell.place_bodies(&part.own_motions(|play| place(play, 1.0, &mut noise)));
        let slip = active().find(|t| t.kind == TroubleKind::ClampWorn).map(|t| {
            let angle =
                std::f64::consts::TAU * Noise::new(self.job.seed, number as u64, SLIP).uniform();
            Pose::planar(t.size * libm::cos(angle), t.size * libm::sin(angle), 0.0)
        });
        (cell, slip)
    }
}

/// Where a part lies: normally distributed about its drawn place, within the play.
fn place(play: &FixturePlay, spread: f64, noise: &mut Noise) -> Pose {
    play.pose_at(|| (noise.normal() * SPREAD * spread).clamp(-1.0, 1.0))
}

/// What of a run the operator sees before the weld.
fn felt(part: usize, log: &RunLog, play: &FixturePlay) -> Felt {
    let found = log.found();
    let agreement =
        found.filter(|(fit, _)| fit.redundancy > 0 && fit.chi2 > 0.0).map(|(fit, _)| {
            let sum: f64 = fit.residuals.iter().map(|r| r * r).sum();
            Agreement {
                mm: sum.sqrt(),
                limit_mm: (sum / fit.chi2 * chi2_limit(fit.redundancy)).sqrt(),
            }
        });
    let offset = found.map(|(_, offset)| offset);
    let shift = offset.map(|o| o.displacement(&Point3::from(play.about)));
    Felt { part, offset, shift, agreement, touches: touches(log) }
}

fn touches(log: &RunLog) -> Vec<TouchFelt> {
    let residuals = log.found().map_or(&[][..], |(fit, _)| &fit.residuals);
    // The last find uses the last touches.
    let first = log.searches.len().saturating_sub(residuals.len());
    let touch = |(i, search): (usize, &Search)| TouchFelt {
        face: search.face.clone(),
        start: search.start,
        direction: search.direction,
        reading: match &search.outcome {
            SearchOutcome::Touch { reading, .. } => Some(*reading),
            _ => None,
        },
        residual_mm: i.checked_sub(first).and_then(|i| residuals.get(i)).copied(),
    };
    log.searches.iter().enumerate().map(touch).collect()
}
