use super::chart::{is_outside, own_limits};
use super::running::{Agreement, Felt, Shift};
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

    /// The values so far, that of the part that waits last.
    pub fn values(self, shift: &Shift) -> Vec<Option<f64>> {
        shift.felt().map(|felt| self.value(felt)).collect()
    }

    /// The limits, once they are known: of the touches' agreement what chance allows, of the others
    /// what the first parts set.
    pub fn limits(self, shift: &Shift) -> Option<[f64; 2]> {
        match self {
            Self::Agreement => Some([0.0, shift.felt().find_map(|f| f.agreement)?.limit_mm]),
            Self::Along(_) | Self::Turn => own_limits(&self.values(shift), shift.parts()),
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
    /// The first of these that holds of the part that waits.
    pub(super) fn of(shift: &Shift) -> Option<Self> {
        let now = shift.now()?;
        if now.offset.is_none() {
            return Some(Self::NotFound);
        }
        if let Some(agreement) = now.agreement.filter(Agreement::in_doubt) {
            return Some(Self::Disagree(agreement));
        }
        Followed::of(&shift.part().play).into_iter().find_map(|what| {
            let (value, limits) = (what.value(now)?, what.limits(shift)?);
            is_outside(value, limits).then_some(Self::Outside { what, value, limits })
        })
    }
}
