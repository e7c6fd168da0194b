use super::running::{Shift, ShiftTally};
use super::trouble::TroubleKind;
use crate::session::Decision;
use strum::IntoEnumIterator;

impl Shift {
    /// The decisions that make of this shift, from where it stands, the one with the least
    /// [`cost_minutes`](super::running::ShiftTally::cost_minutes), by one who sees how each weld would
    /// come out.
    ///
    /// Each trouble is mended at most once, by the cheapest look, and only when a part would be lost
    /// otherwise: earlier is no cheaper, since a trouble may end by itself. A part that nothing saves is
    /// set aside, which costs less than scrap.
    pub fn best_decisions(&self) -> Vec<Decision> {
        let mut shift = self.clone();
        let mut all = Vec::new();
        while shift.waiting.is_some() {
            for decision in shift.best_for_this_part() {
                if shift.decide(decision).is_err() {
                    return all;
                }
                all.push(decision);
            }
        }
        all
    }

    /// What these decisions come to at its end.
    pub fn best_tally(&self) -> ShiftTally {
        let mut shift = self.clone();
        for decision in self.best_decisions() {
            if shift.decide(decision).is_err() {
                break;
            }
        }
        shift.tally()
    }

    /// The fewest looks that save the part that waits, and going on; or a stop.
    pub(crate) fn best_for_this_part(&self) -> Vec<Decision> {
        let part = self.done.len() + 1;
        let mut looks: Vec<_> = TroubleKind::iter()
            .filter(|kind| self.troubles.iter().any(|t| t.kind == *kind && t.is_active(part)))
            .map(TroubleKind::shows_at)
            .collect();
        looks.dedup();
        let mut choices: Vec<u32> = (0..1 << looks.len()).collect();
        choices.sort_by_key(|choice| choice.count_ones());
        let saving = choices.into_iter().find_map(|choice| {
            let mut tried = self.clone();
            let taken: Vec<_> = (0..looks.len())
                .filter(|i| choice >> i & 1 == 1)
                .map(|i| Decision::Look(looks[i]))
                .collect();
            taken.iter().try_for_each(|look| tried.decide(*look)).ok()?;
            tried.waiting.as_ref()?.log.landed().then_some(taken)
        });
        match saving {
            Some(mut looks) => {
                looks.push(Decision::GoOn);
                looks
            }
            None => vec![Decision::Stop],
        }
    }
}
