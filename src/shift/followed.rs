use super::chart::{is_outside, own_limits};
use super::felt::{Agreement, Felt};
use crate::cell::FixturePlay;

/// A number that is followed over a shift.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Followed {
    /// The shift along an axis of the work frame, mm: X, Y, height.
    Along(usize),
    /// The turn about the vertical, degrees.
    Turn,
    /// How well the touches agree, mm.
    Agreement,
}

impl Followed {
    /// Those of a part with this play.
    pub fn of(play: &FixturePlay) -> Vec<Self> {
        let free = [play.dx, play.dy, play.dz].into_iter().enumerate();
        let along = free.filter(|(_, play)| *play > 0.0).map(|(axis, _)| Self::Along(axis));
        let turn = (play.turn_deg > 0.0).then_some(Self::Turn);
        along.chain(turn).chain([Self::Agreement]).collect()
    }

    /// The value of a part; `None` where it was not found, or none of its touches is to spare.
    pub fn value(self, felt: &Felt) -> Option<f64> {
        match self {
            Self::Along(axis) => felt.shift.map(|s| s[axis]),
            Self::Turn => felt.offset.map(|o| o.rotation_vector().z.to_degrees()),
            Self::Agreement => felt.agreement.map(|a| a.mm),
        }
    }

    /// The values of all parts felt so far.
    pub(super) fn values(self, felt: &[&Felt]) -> Vec<Option<f64>> {
        felt.iter().map(|felt| self.value(felt)).collect()
    }

    /// The limits that these parts set, of a shift of so many.
    pub(super) fn limits(self, felt: &[&Felt], parts: usize) -> Option<[f64; 2]> {
        match self {
            Self::Agreement => Some([0.0, felt.iter().find_map(|f| f.agreement)?.limit_mm]),
            Self::Along(_) | Self::Turn => own_limits(&self.values(felt), parts),
        }
    }
}

/// Why the part that waits calls for a decision.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alarm {
    /// It was not found.
    NotFound,
    /// Its touches disagree.
    Disagree(Agreement),
    /// A number that is followed is outside its limits.
    Outside {
        /// Which.
        what: Followed,
        /// Its value, mm or degrees.
        value: f64,
        /// Its limits, in the same unit.
        limits: [f64; 2],
    },
}

impl Alarm {
    /// The first of these that holds of the last part of those felt so far, on a fixture with this play, in a
    /// shift of so many parts.
    pub(super) fn of(felt: &[&Felt], play: &FixturePlay, parts: usize) -> Option<Self> {
        let now = felt.last()?;
        if now.offset.is_none() {
            return Some(Self::NotFound);
        }
        if let Some(agreement) = now.agreement.filter(Agreement::in_doubt) {
            return Some(Self::Disagree(agreement));
        }
        Followed::of(play).into_iter().find_map(|what| {
            let (value, limits) = (what.value(now)?, what.limits(felt, parts)?);
            is_outside(value, limits).then_some(Self::Outside { what, value, limits })
        })
    }
}
