use super::pieces::pause;
use crate::cell::{OwnMotions, Part};
use crate::geometry::{Pose, PoseFile};
use crate::routine::{Routine, RunSpeed};
use crate::session::{Action, ActionError, Header, Replay, Session, TaughtPlaces};
use std::sync::Arc;

/// A session reduced to what affects the cell: the runs with their routines, and the changes to part,
/// wire and faults between them. One part can be changed and the script played again.
#[derive(Debug, Clone, Default)]
pub(super) struct Script {
    pub(super) entries: Vec<ScriptEntry>,
}

/// One entry of a script.
#[derive(Debug, Clone)]
pub(super) enum ScriptEntry {
    /// A run, up to its end or its first pause.
    Run(ScriptRun),
    /// The run goes on, up to its end or its next pause.
    Resume(ScriptRun),
    /// Another action: place the part, cut the wire, plant a fault.
    Other(Action),
}

/// A run of a script, or a stretch of one after a pause.
#[derive(Debug, Clone)]
pub(super) struct ScriptRun {
    /// Number of the run in the learner's session, from 1; 0 if it is not from there.
    pub(super) number: usize,
    pub(super) routine: Arc<Routine>,
    /// Where its points were taught.
    taught: TaughtPlaces,
    /// The reference flag.
    pub(super) reference_flag: bool,
    pub(super) speed: RunSpeed,
    pub(super) arc: bool,
    pub(super) steps: Option<usize>,
}

impl Script {
    /// The script of a session.
    pub(super) fn of(session: &Session) -> Self {
        let mut entries = Vec::new();
        let (mut number, mut resumed) = (0, 0);
        let contexts = &session.state().run_contexts;
        let mut options = (RunSpeed::Reduced, false);
        for action in session.actions() {
            let open = action.in_the_open();
            let action = open.as_ref().unwrap_or(action);
            let (stretch, steps) = match action {
                Action::Run { speed, arc, steps } => {
                    number += 1;
                    resumed = 0;
                    options = (*speed, *arc);
                    (contexts.get(number - 1).map(|c| &c.began), *steps)
                }
                Action::Resume { steps } => {
                    resumed += 1;
                    let context = number.checked_sub(1).and_then(|n| contexts.get(n));
                    (context.and_then(|c| c.resumed.get(resumed - 1)), *steps)
                }
                Action::PlacePart { .. }
                | Action::SetReference { .. }
                | Action::SetCell { .. }
                | Action::Abort
                | Action::CutWire { .. }
                | Action::Mend { .. }
                | Action::Plant { .. }
                | Action::ClearFault { .. }
                | Action::ClearFaults => {
                    entries.push(ScriptEntry::Other(action.clone()));
                    continue;
                }
                _ => continue,
            };
            let Some(stretch) = stretch else { continue };
            let run = ScriptRun {
                number,
                routine: stretch.routine.clone(),
                taught: stretch.taught.clone(),
                reference_flag: stretch.reference_flag,
                speed: options.0,
                arc: options.1,
                steps,
            };
            entries.push(if matches!(action, Action::Run { .. }) {
                ScriptEntry::Run(run)
            } else {
                ScriptEntry::Resume(run)
            });
        }
        Self { entries }
    }

    /// The standard rehearsal of a routine: reference at reduced speed with the part where the
    /// points were taught, proof, part and bodies moved to `place`, production.
    pub(super) fn rehearsal(routine: &Routine, taught: Pose, place: &Place) -> Self {
        let routine = Arc::new(routine.clone());
        let run = |reference_flag: bool| {
            let (number, arc, steps) = (0, false, None);
            let (routine, taught) = (routine.clone(), TaughtPlaces::all_at(taught));
            let speed = RunSpeed::Reduced;
            ScriptEntry::Run(ScriptRun {
                number,
                routine,
                taught,
                reference_flag,
                speed,
                arc,
                steps,
            })
        };
        let (part, own) = place;
        let bodies = own.iter().map(|(name, motion)| (name.clone(), PoseFile::from(*motion)));
        let moved = Action::PlacePart { part: (*part).into(), bodies: bodies.collect() };
        let [taught, moved] = [Action::place_part(taught), moved].map(ScriptEntry::Other);
        Self { entries: vec![taught, run(true), run(false), moved, run(false)] }
    }

    /// All runs, and their stretches after pauses.
    pub(super) fn runs(&mut self) -> impl Iterator<Item = &mut ScriptRun> {
        self.entries.iter_mut().filter_map(|b| match b {
            ScriptEntry::Run(run) | ScriptEntry::Resume(run) => Some(run),
            ScriptEntry::Other(_) => None,
        })
    }

    /// Numbers of the runs, in order, in the learner's session.
    pub(super) fn numbers(&self) -> Vec<usize> {
        let run = |e: &ScriptEntry| match e {
            ScriptEntry::Run(run) => Some(run.number),
            _ => None,
        };
        self.entries.iter().filter_map(run).collect()
    }

    /// The learner's run of this number, up to its first pause.
    pub(super) fn run(&mut self, number: usize) -> Option<&mut ScriptRun> {
        self.runs().find(|t| t.number == number)
    }

    /// Changes the routine in every run.
    pub(super) fn edit(&mut self, edit: impl Fn(&Routine) -> Routine) {
        let mut edited: Option<(Arc<Routine>, Arc<Routine>)> = None;
        for run in self.runs() {
            let known = edited.take().filter(|(before, _)| Arc::ptr_eq(before, &run.routine));
            let (before, after) =
                known.unwrap_or_else(|| (run.routine.clone(), Arc::new(edit(&run.routine))));
            run.routine = after.clone();
            edited = Some((before, after));
        }
    }

    /// Index of the learner's run of this number.
    pub(super) fn index_of_run(&self, number: usize) -> Option<usize> {
        self.entries.iter().position(|b| matches!(b, ScriptEntry::Run(t) if t.number == number))
    }

    /// Inserts entries before the learner's run of this number.
    pub(super) fn before(&mut self, number: usize, entries: impl IntoIterator<Item = ScriptEntry>) {
        if let Some(at) = self.index_of_run(number) {
            self.entries.splice(at..at, entries);
        }
    }

    /// Inserts an action before the learner's run of this number, and before it goes on after each pause.
    pub(super) fn before_each_stretch(&mut self, number: usize, action: &Action) {
        let of_run = |entry: &ScriptEntry| match entry {
            ScriptEntry::Run(run) | ScriptEntry::Resume(run) => run.number == number,
            ScriptEntry::Other(_) => false,
        };
        self.entries = std::mem::take(&mut self.entries)
            .into_iter()
            .flat_map(|entry| {
                let before = of_run(&entry).then(|| ScriptEntry::Other(action.clone()));
                before.into_iter().chain([entry])
            })
            .collect();
    }

    /// Plays the script from the start, and pauses now and then. `None` if an action fails.
    pub(super) async fn play(&self, header: &Header) -> Option<Replay> {
        let mut replay = Replay::new(header).ok()?;
        for entry in &self.entries {
            let action = match entry {
                ScriptEntry::Run(t) => Action::Run { speed: t.speed, arc: t.arc, steps: t.steps },
                ScriptEntry::Resume(t) => Action::Resume { steps: t.steps },
                ScriptEntry::Other(a) => a.clone(),
            };
            if let ScriptEntry::Run(t) | ScriptEntry::Resume(t) = entry {
                replay.put_in(t.routine.clone(), t.taught.clone());
                if let Some(turn) = replay.state().turn_reference(t.reference_flag) {
                    replay.act(&turn).ok()?;
                }
            }
            // May fail: a run that now stops elsewhere leaves nothing to resume or abort.
            let may_fail = matches!(action, Action::Resume { .. } | Action::Abort);
            if act_in_pieces(&mut replay, action).await.is_err() && !may_fail {
                return None;
            }
        }
        Some(replay)
    }
}

/// Steps of a run from one pause to the next: a few milliseconds, with a part of as many edges as it
/// may have.
const STEPS_A_PIECE: usize = 20;

/// Does an action of a script. A long run is made as several that are paused and resumed, which
/// comes to the same log.
async fn act_in_pieces(replay: &mut Replay, mut action: Action) -> Result<(), ActionError> {
    loop {
        let (Action::Run { steps, .. } | Action::Resume { steps }) = &mut action else {
            return replay.act(&action);
        };
        let now = steps.map_or(STEPS_A_PIECE, |steps| steps.min(STEPS_A_PIECE));
        let left = steps.map(|steps| steps - now);
        *steps = Some(now);
        replay.act(&action)?;
        pause().await;
        if replay.state().paused.is_none() || left == Some(0) {
            return Ok(());
        }
        action = Action::Resume { steps: left };
    }
}

/// Where the part lies, `work_from_part`, and where bodies that move by themselves lie on it.
pub(super) type Place = (Pose, OwnMotions);

/// Greatest share of the play that the rehearsal's nudge uses.
const NUDGE_SHARE: f64 = 0.8;

/// A nudge within the play of the part and of its bodies, drawn from the seed; at least half of the
/// used share, so that a mistake has an effect.
pub(super) fn nudge(part: &Part, seed: u64) -> Place {
    let mut state = seed ^ 0x9E37_79B9_7F4A_7C15;
    let mut share = || {
        // SplitMix64 (Steele, Lea, Flood 2014): sufficient for one nudge.
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        let unit = (z >> 11) as f64 / (1_u64 << 53) as f64;
        let size = 0.5 + unit / 2.0;
        NUDGE_SHARE * if z & 1 == 0 { size } else { -size }
    };
    let pose = part.play.pose_at(&mut share);
    (pose, part.own_motions(|play| play.pose_at(&mut share)))
}
