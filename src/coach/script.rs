use super::facts::{Structure, about_point};
use crate::cell::FixturePlay;
use crate::geometry::{Pose, Vector3};
use crate::routine::{Routine, RunSpeed};
use crate::session::{Action, Header, Session};

/// A session boiled down to what the cell went through: every run with the routine as it then was,
/// and what was done to part, wire and faults in between. Easy to change one thing in and play again.
#[derive(Debug, Clone, Default)]
pub(super) struct Script {
    pub(super) beats: Vec<Beat>,
}

/// One thing that happens.
#[derive(Debug, Clone)]
pub(super) enum Beat {
    /// A run.
    Run(Take),
    /// Something else: the part is placed, the wire cut, a fault planted, a run resumed.
    Other(Action),
}

/// A run of a script.
#[derive(Debug, Clone)]
pub(super) struct Take {
    /// Number of the run in the learner's session, from 1; 0 if it was not there.
    pub(super) number: usize,
    pub(super) routine: Routine,
    pub(super) speed: RunSpeed,
    pub(super) arc: bool,
    pub(super) steps: Option<usize>,
}

impl Script {
    /// What happened in a session.
    pub(super) fn of(session: &Session) -> Self {
        let mut beats = Vec::new();
        let mut number = 0;
        for action in session.actions() {
            match action {
                Action::Run { speed, arc, steps } => {
                    let Some(mark) = session.state().marks.get(number) else { continue };
                    number += 1;
                    let routine = (*mark.routine).clone();
                    let take = Take { number, routine, speed: *speed, arc: *arc, steps: *steps };
                    beats.push(Beat::Run(take));
                }
                Action::PlacePart { .. }
                | Action::Resume { .. }
                | Action::Abort
                | Action::CutWire { .. }
                | Action::Plant { .. }
                | Action::ClearFault { .. }
                | Action::ClearFaults => beats.push(Beat::Other(action.clone())),
                _ => {}
            }
        }
        Self { beats }
    }

    /// The standard rehearsal of a routine: reference at reduced speed with the part where the
    /// points were taught, proof, the part moved to `place`, production.
    pub(super) fn rehearsal(routine: &Routine, taught: Pose, place: Pose) -> Self {
        let take = |flag: bool| {
            let mut routine = routine.clone();
            for plan in &mut routine.plans {
                plan.reference = flag;
            }
            let speed = RunSpeed::Reduced;
            Beat::Run(Take { number: 0, routine, speed, arc: false, steps: None })
        };
        let put = |part: Pose| Beat::Other(Action::PlacePart { part: part.into() });
        Self { beats: vec![put(taught), take(true), take(false), put(place), take(false)] }
    }

    /// Every run.
    pub(super) fn takes(&mut self) -> impl Iterator<Item = &mut Take> {
        self.beats.iter_mut().filter_map(|b| match b {
            Beat::Run(take) => Some(take),
            Beat::Other(_) => None,
        })
    }

    /// The learner's run of that number.
    pub(super) fn take(&mut self, number: usize) -> Option<&mut Take> {
        self.takes().find(|t| t.number == number)
    }

    /// Place of the learner's run of that number among the beats.
    pub(super) fn beat_of(&self, number: usize) -> Option<usize> {
        self.beats.iter().position(|b| matches!(b, Beat::Run(t) if t.number == number))
    }

    /// Puts something before the learner's run of that number.
    pub(super) fn before(&mut self, number: usize, beats: impl IntoIterator<Item = Beat>) {
        if let Some(at) = self.beat_of(number) {
            self.beats.splice(at..at, beats);
        }
    }

    /// Plays it from the start of a session. `None` if it cannot be played.
    pub(super) fn play(&self, header: &Header) -> Option<Session> {
        let actions = self.beats.iter().flat_map(|b| match b {
            Beat::Run(t) => vec![
                Action::LoadRoutine { routine: t.routine.clone() },
                Action::Run { speed: t.speed, arc: t.arc, steps: t.steps },
            ],
            // A run that now stops elsewhere may leave nothing to resume or to abort.
            Beat::Other(a) => vec![a.clone()],
        });
        let mut session = Session::new(header.clone()).ok()?;
        for action in actions {
            let may_fail = matches!(action, Action::Resume { .. } | Action::Abort);
            if session.act(action).is_err() && !may_fail {
                return None;
            }
        }
        Some(session)
    }
}

impl Take {
    /// The reference flag of every plan that the routine begins.
    pub(super) fn set_flag(&mut self, on: bool) {
        let used: Vec<_> =
            Structure::of(&self.routine).blocks.into_iter().map(|b| b.plan).collect();
        for plan in self.routine.plans.iter_mut().filter(|p| used.contains(&p.name)) {
            plan.reference = on;
        }
    }
}

/// Share of the play that the rehearsal's nudge uses at most: it stays clear of the very limits.
const NUDGE_SHARE: f64 = 0.8;

/// A nudge within the fixture's play that depends on nothing but the seed: always at least half of
/// what is used, so that a mistake shows.
pub(super) fn nudge(play: &FixturePlay, seed: u64) -> Pose {
    let mut state = seed ^ 0x9E37_79B9_7F4A_7C15;
    let mut part_of = |limit: f64| {
        // SplitMix64 (Steele, Lea, Flood 2014): plenty for picking one nudge.
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        let unit = (z >> 11) as f64 / (1_u64 << 53) as f64;
        let size = 0.5 + unit / 2.0;
        limit * NUDGE_SHARE * if z & 1 == 0 { size } else { -size }
    };
    let shift = Vector3::new(part_of(play.dx), part_of(play.dy), part_of(play.dz));
    let tilt = play.tilt_deg.to_radians();
    let turn = Vector3::new(part_of(tilt), part_of(tilt), part_of(play.turn_deg.to_radians()));
    about_point(Vector3::from(play.about), shift, turn)
}
