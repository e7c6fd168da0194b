//! Prepared shifts: each can be made, on every part that they are made of.

use nudgeproof::lesson::{SHIFT_PARTS, prepared_shift};
use nudgeproof::session::Decision;
use std::collections::BTreeSet;

/// The days of a month, as numbers.
const DAYS: std::ops::RangeInclusive<u64> = 20_261_101..=20_261_130;

#[test]
fn every_day_has_its_shift() {
    let mut parts = BTreeSet::new();
    let mut quiet = 0;
    for day in DAYS {
        let shift = prepared_shift(day).expect("a shift");
        parts.insert(shift.part().name.clone());
        quiet += usize::from(shift.troubles().is_empty());
        let first = shift.now().expect("a part waits");
        assert!(first.agreement.is_some(), "{day}: touches that can disagree");
        let residuals = first.touches.iter().filter(|t| t.residual_mm.is_some()).count();
        assert_eq!(residuals, first.touches.len(), "{day}: every touch is used");
        assert_eq!(prepared_shift(day).expect("again").now(), Some(first), "{day}: the same again");
    }
    assert!(parts.len() >= 5, "only {parts:?}");
    assert!((2..20).contains(&quiet), "{quiet} of {} days without trouble", DAYS.count());
}

/// What one who sees every weld would do loses nothing but what cannot be saved.
#[test]
fn the_best_decisions_of_a_day_let_no_scrap_through() {
    for day in DAYS.step_by(3) {
        let mut shift = prepared_shift(day).expect("a shift");
        for decision in shift.best_decisions() {
            shift.decide(decision).unwrap_or_else(|e| panic!("{day}: {decision:?}: {e}"));
        }
        let tally = shift.tally();
        assert_eq!(tally.scrap, 0, "{day}: {tally:?}");
        assert_eq!(tally.good + tally.set_aside, SHIFT_PARTS, "{day}: {tally:?}");
    }
}

/// A touch that felt nothing ends the list, and has no reading.
#[test]
fn a_part_that_is_not_found_shows_where() {
    let lost = (1..300).find_map(|number| {
        let mut shift = prepared_shift(number)?;
        while shift.now().is_some_and(|felt| felt.offset.is_some()) {
            shift.decide(Decision::GoOn).ok()?;
        }
        shift.now().cloned()
    });
    let felt = lost.expect("one of three hundred");
    let (last, before) = felt.touches.split_last().expect("a search");
    assert!(last.reading.is_none(), "{felt:?}");
    assert!(before.iter().all(|t| t.reading.is_some()), "{felt:?}");
    assert!(felt.touches.iter().all(|t| t.residual_mm.is_none()), "nothing was found: {felt:?}");
}
