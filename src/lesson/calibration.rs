//! How sure a learner was of predictions, and how often they were right.

use super::ask::WhichRun;
use super::lesson::Lesson;
use super::progress::GivenAnswer;
use crate::session::Certainty;
use serde::{Deserialize, Serialize};
use std::ops::AddAssign;

/// How often predictions came out right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tally {
    /// How many were made.
    pub said: usize,
    /// How many of them were right.
    pub right: usize,
}

/// Predictions by how sure the learner was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Calibration {
    /// Those that were guesses.
    pub guessing: Tally,
    /// Those that the learner was fairly sure of.
    pub fairly_sure: Tally,
    /// Those that the learner was certain of.
    pub certain: Tally,
}

impl Calibration {
    /// The predictions of one certainty.
    pub fn of(&self, certainty: Certainty) -> Tally {
        match certainty {
            Certainty::Guessing => self.guessing,
            Certainty::FairlySure => self.fairly_sure,
            Certainty::Certain => self.certain,
        }
    }

    /// The predictions of every certainty, from the least to the most.
    pub fn rows(&self) -> [(Certainty, Tally); 3] {
        Certainty::ALL.map(|certainty| (certainty, self.of(certainty)))
    }

    /// Whether nothing was predicted.
    pub fn is_empty(&self) -> bool {
        self.rows().iter().all(|(_, tally)| tally.said == 0)
    }

    /// The heads of its columns in a table.
    pub(super) fn heads() -> impl Iterator<Item = String> {
        let of = |c: Certainty| ["said", "right"].map(|n| format!("{}_{n}", c.name()));
        Certainty::ALL.into_iter().flat_map(of)
    }

    /// Its cells in a table, under [`heads`](Self::heads).
    pub(super) fn cells(&self) -> impl Iterator<Item = usize> + use<> {
        self.rows().into_iter().flat_map(|(_, t)| [t.said, t.right])
    }

    fn count(&mut self, certainty: Certainty, right: bool) {
        let tally = match certainty {
            Certainty::Guessing => &mut self.guessing,
            Certainty::FairlySure => &mut self.fairly_sure,
            Certainty::Certain => &mut self.certain,
        };
        tally.said += 1;
        tally.right += usize::from(right);
    }
}

impl AddAssign for Tally {
    fn add_assign(&mut self, more: Self) {
        // A record from outside may say anything.
        self.said = self.said.saturating_add(more.said);
        self.right = self.right.saturating_add(more.right);
    }
}

impl AddAssign for Calibration {
    fn add_assign(&mut self, more: Self) {
        self.guessing += more.guessing;
        self.fairly_sure += more.fairly_sure;
        self.certain += more.certain;
    }
}

impl Lesson {
    /// The predictions among these answers whose run is over, by how sure the learner was of them.
    pub fn calibration(&self, answers: &[GivenAnswer]) -> Calibration {
        let mut all = Calibration::default();
        for answer in answers {
            let ask = self.stages.get(answer.stage).and_then(|s| s.ask.as_ref());
            if ask.is_some_and(|ask| ask.run == WhichRun::Next)
                && let (Some(certainty), Some(right)) = (answer.certainty, answer.was_right())
            {
                all.count(certainty, right);
            }
        }
        all
    }
}
