//! The hands of a class, counted for the answers to a question.

use crate::app::i18n::{Key, text};
use nudgeproof::cell::FaultKind;

/// The number of answers that keys count hands for.
pub(crate) const ANSWERS: usize = 4;

/// Hands counted for the answers to one question.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Tally {
    /// Which question; empty before the first hand.
    pub(crate) question: String,
    /// One number for each answer.
    pub(crate) hands: Vec<u32>,
}

impl Tally {
    /// Nothing counted yet.
    pub(crate) fn new(question: &str, answers: usize) -> Self {
        Self { question: question.into(), hands: vec![0; answers] }
    }

    /// Counts one hand more for an answer, from 0, or one less; where there is no such answer, or no
    /// hand to take away, nothing changes.
    pub(crate) fn count(&mut self, answer: usize, more: bool) {
        if let Some(hands) = self.hands.get_mut(answer) {
            *hands = if more { hands.saturating_add(1) } else { hands.saturating_sub(1) };
        }
    }

    pub(crate) fn total(&self) -> u32 {
        self.hands.iter().sum()
    }

    /// The greatest number of hands for one answer, at least 1: the length of the longest bar.
    pub(crate) fn most(&self) -> u32 {
        self.hands.iter().copied().max().unwrap_or_default().max(1)
    }
}

/// A question to the class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Question {
    /// Tells it from any other question.
    pub(crate) id: String,
    pub(crate) text: String,
    pub(crate) answers: Vec<String>,
    /// The answer that was given, from 0: hands are counted until then.
    pub(crate) given: Option<usize>,
    /// The right answer, from 0, once it is known.
    pub(crate) right: Option<usize>,
}

/// What is wrong with the cell: four answers, and the place of the right one. `wrong` are the planted
/// kinds, `others` those that could be; `moved` whether the part lies elsewhere in secret.
pub(crate) fn what_is_wrong(
    wrong: &[&'static FaultKind],
    moved: bool,
    others: &[&'static FaultKind],
    seed: usize,
) -> (Vec<String>, usize) {
    let (part_moved, nothing) = (text(Key::PartWasMoved), text(Key::NothingIsWrong));
    let right = match wrong.first() {
        Some(kind) => kind.says,
        None if moved => part_moved,
        None => nothing,
    };
    let is_right = |says: &str| says == right || wrong.iter().any(|kind| kind.says == says);
    let others: Vec<_> = others.iter().map(|kind| kind.says).filter(|s| !is_right(s)).collect();
    let shift = if others.is_empty() { 0 } else { seed * 5 % others.len() };
    let drawn = others.iter().cycle().skip(shift).take(others.len()).copied();
    // Where a fault is planted and the part is moved too, both would be right.
    let plain = [nothing].into_iter().chain((!moved).then_some(part_moved));
    let mut answers: Vec<String> = plain
        .filter(|says| *says != right)
        .take(1)
        .chain(drawn)
        .take(ANSWERS - 1)
        .map(str::to_owned)
        .collect();
    let place = seed % (answers.len() + 1);
    answers.insert(place, right.into());
    (answers, place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::{FAULT_KINDS, fault_kind};

    #[test]
    fn hands_are_counted_for_the_answers_there_are() {
        let mut tally = Tally::new("q", 3);
        for answer in [0, 2, 2, 3] {
            tally.count(answer, true);
        }
        tally.count(0, false);
        tally.count(0, false);
        assert_eq!(tally.hands, [0, 0, 2], "the fourth answer is none");
        assert_eq!((tally.total(), tally.most()), (2, 2));
        assert_eq!(Tally::new("q", 2).most(), 1, "a bar has a length before the first hand");
    }

    #[test]
    fn of_four_answers_one_is_right() {
        let all: Vec<_> = FAULT_KINDS.iter().collect();
        let bent = fault_kind("wire-bent").expect("a kind");
        for seed in 0..40 {
            for (wrong, moved, expected) in [
                (vec![bent], false, bent.says),
                (vec![bent], true, bent.says),
                (vec![], true, text(Key::PartWasMoved)),
                (vec![], false, text(Key::NothingIsWrong)),
            ] {
                let (answers, right) = what_is_wrong(&wrong, moved, &all, seed);
                assert_eq!(answers.len(), ANSWERS, "{answers:?}");
                assert_eq!(answers[right], expected, "seed {seed}");
                let mut each = answers.clone();
                each.sort();
                each.dedup();
                assert_eq!(each.len(), ANSWERS, "each once: {answers:?}");
                let also = moved && !wrong.is_empty();
                assert!(
                    !(also && answers.iter().any(|a| a == text(Key::PartWasMoved))),
                    "one right"
                );
            }
        }
        let places: Vec<_> =
            (0..4).map(|seed| what_is_wrong(&[bent], false, &all, seed).1).collect();
        assert_eq!(places, [0, 1, 2, 3], "it stands in every place");
    }
}
