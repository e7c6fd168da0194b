//! Many parts one after the other: what creeps in shows in the touches alone, and decisions count.

#[path = "../support/mod.rs"]
mod support;

use nudgeproof::session::{Decision, LookAt, Session, StudyError};
use nudgeproof::shift::{
    LOOK_MINUTES, STOP_MINUTES, Shift, ShiftError, ShiftTally, TroubleKind, individuals_chart,
};
use support::{AS_IT_SHOULD_BE, session};

const PARTS: usize = 40;

fn shift(seed: u64) -> Shift {
    Shift::new(session(AS_IT_SHOULD_BE).state(), seed, PARTS).expect("it has a reference")
}

/// The shift to its end by these decisions.
fn played(mut shift: Shift, mut decide: impl FnMut(&Shift) -> Decision) -> Shift {
    while shift.now().is_some() {
        let decision = decide(&shift);
        shift.decide(decision).expect("it can be decided");
    }
    shift
}

/// Goes on whatever the touches say, and stops only where nothing was found.
fn blind(shift: &Shift) -> Decision {
    let found = shift.now().is_some_and(|felt| felt.offset.is_some());
    if found { Decision::GoOn } else { Decision::Stop }
}

fn by(shift: Shift, decisions: &[Decision]) -> Shift {
    let mut next = decisions.iter();
    played(shift, |_| *next.next().expect("a decision for each part"))
}

/// A seed whose only trouble is of this kind, so early that it does harm.
fn seed_with(kind: TroubleKind) -> u64 {
    let only = |seed: &u64| {
        let shift = shift(*seed);
        matches!(shift.troubles(), [t] if t.kind == kind && t.from < PARTS / 2)
    };
    (0..2000).find(only).expect("one of two thousand")
}

#[test]
fn a_shift_without_trouble_lands_every_part() {
    let quiet = (0..100).find(|seed| shift(*seed).troubles().is_empty()).expect("a quiet shift");
    let end = played(shift(quiet), blind).tally();
    // By chance some part is unlike the others, and nothing comes of it.
    assert_eq!(end, ShiftTally { good: PARTS, alarms: end.alarms, ..ShiftTally::default() });
    assert!(end.alarms < PARTS / 4, "{end:?}");
    assert_eq!(shift(quiet).best_decisions(), [Decision::GoOn; PARTS], "nothing to decide");
}

#[test]
fn the_same_decisions_come_to_the_same_shift() {
    let (a, b) = (played(shift(5), blind), played(shift(5), blind));
    assert_eq!(a.done(), b.done());
    assert_ne!(a.done(), played(shift(6), blind).done(), "another seed, other parts");
}

#[test]
fn every_trouble_costs_parts_and_is_found_where_it_shows() {
    for (kind, at) in [
        (TroubleKind::WireBent, LookAt::WireTip),
        (TroubleKind::TipWorn, LookAt::WireTip),
        (TroubleKind::ClampWorn, LookAt::Clamps),
        (TroubleKind::OutOfSquare, LookAt::Part),
        (TroubleKind::WorkLeadOff, LookAt::WorkLead),
    ] {
        let seed = seed_with(kind);
        let lost = played(shift(seed), blind).tally();
        assert!(lost.scrap + lost.set_aside > 0, "{kind:?} does no harm: {lost:?}");
        // Looks there at each part from the first that it concerns.
        let from = shift(seed).troubles()[0].from;
        let mut shift = shift(seed);
        while shift.now().is_some_and(|felt| felt.part < from) {
            shift.decide(Decision::GoOn).expect("a sound part");
        }
        for elsewhere in LookAt::all().filter(|other| *other != at) {
            shift.decide(Decision::Look(elsewhere)).expect("a look");
        }
        shift.decide(Decision::Look(at)).expect("a look");
        shift.decide(Decision::GoOn).expect("felt again");
        let looked = &shift.done().last().expect("a part").looks;
        assert_eq!(looked.iter().filter(|(_, found)| *found).count(), 1, "{kind:?}: {looked:?}");
        assert_eq!(looked.last(), Some(&(at, true)), "{kind:?}");
        let end = played(shift, blind).tally();
        assert_eq!((end.scrap, end.set_aside), (0, 0), "{kind:?}, mended: {end:?}");
        assert_eq!((end.needless_looks, end.minutes), (3, 4 * LOOK_MINUTES), "{kind:?}");
    }
}

#[test]
fn a_stop_puts_everything_right_and_sets_the_part_aside() {
    let seed = seed_with(TroubleKind::OutOfSquare);
    let from = shift(seed).troubles()[0].from;
    let stopping = |shift: &Shift| {
        if shift.now().is_some_and(|felt| felt.part == from) {
            Decision::Stop
        } else {
            blind(shift)
        }
    };
    let end = played(shift(seed), stopping).tally();
    assert_eq!((end.set_aside, end.scrap, end.needless_stops), (1, 0, 0), "{end:?}");
    assert_eq!(end.minutes, STOP_MINUTES);
    let mut early = shift(seed);
    early.decide(Decision::Stop).expect("a stop");
    assert_eq!(early.tally().needless_stops, 1, "nothing was wrong yet");
}

/// An alarm is what the operator sees, and counts once, whatever is done about it.
#[test]
fn alarms_are_counted_with_the_looks_and_stops_at_them() {
    let seed = seed_with(TroubleKind::OutOfSquare);
    let doubtful =
        |shift: &Shift| shift.now().and_then(|f| f.agreement).is_some_and(|a| a.in_doubt());
    let careless = played(shift(seed), blind).tally();
    let stops = careless.set_aside;
    assert!(careless.alarms > 3 && careless.decisions_at_alarms == stops, "{careless:?}");

    let mut careful = shift(seed);
    let mut looks = 0;
    while careful.now().is_some() {
        if doubtful(&careful) {
            careful.decide(Decision::Look(LookAt::WireTip)).expect("a look");
            careful.decide(Decision::Look(LookAt::Part)).expect("a look");
            looks += 2;
        } else if careful.done().is_empty() {
            careful.decide(Decision::Look(LookAt::Clamps)).expect("a look without an alarm");
        }
        careful.decide(Decision::GoOn).expect("found");
    }
    let tally = careful.tally();
    assert!(tally.alarms > 0 && tally.alarms < careless.alarms, "{tally:?}, mended: {careless:?}");
    assert_eq!(tally.decisions_at_alarms, looks, "{tally:?}");
}

/// A batch out of square shows in the agreement; a bent wire shows there not at all.
#[test]
fn touches_show_what_they_can() {
    let doubts = |seed| {
        let end = played(shift(seed), blind);
        let trouble = end.troubles()[0].clone();
        let inside = |part: usize| (trouble.from..=trouble.until).contains(&part);
        let doubtful = end.done().iter().filter(|d| d.felt.agreement.is_some_and(|a| a.in_doubt()));
        let (here, elsewhere): (Vec<_>, Vec<_>) = doubtful.partition(|d| inside(d.felt.part));
        (here.len(), trouble.until + 1 - trouble.from, elsewhere.len())
    };
    let (here, of, elsewhere) = doubts(seed_with(TroubleKind::OutOfSquare));
    assert!(here > of / 2, "{here} of {of}");
    assert!(elsewhere <= 2, "by chance 1 in 100: {elsewhere}");
    let (here, _, elsewhere) = doubts(seed_with(TroubleKind::WireBent));
    assert!(here + elsewhere <= 2, "a bend moves all touches alike: {here} and {elsewhere}");
}

/// Nothing an operator sees of a part depends on a trouble that comes later.
#[test]
fn nothing_shows_before_it_begins() {
    for seed in 0..20 {
        let end = played(shift(seed), blind);
        let Some(first) = end.troubles().first().map(|t| t.from) else { continue };
        let quiet = end.done().iter().take(first - 1);
        assert!(
            quiet.clone().all(|d| d.weld.is_some_and(|(_, landed)| landed)),
            "seed {seed}: a part is lost before part {first}"
        );
    }
}

#[test]
fn no_way_through_a_shift_is_cheaper_than_the_best() {
    for seed in 0..30 {
        let best = by(shift(seed), &shift(seed).best_decisions()).tally();
        assert_eq!((best.needless_looks, best.needless_stops), (0, 0), "seed {seed}: {best:?}");
        assert_eq!(best.scrap, 0, "seed {seed}: it lets nothing through");
        // Somebody who never looks, and those who look at one thing whenever touches disagree.
        let mut others = vec![played(shift(seed), blind).tally()];
        others.extend(LookAt::all().map(|at| {
            let mut looked = 0;
            let end = played(shift(seed), |shift| {
                let felt = shift.now().expect("a part");
                if felt.agreement.is_some_and(|a| a.in_doubt()) && felt.part != looked {
                    looked = felt.part;
                    return Decision::Look(at);
                }
                blind(shift)
            });
            end.tally()
        }));
        for other in others {
            assert!(
                best.cost_minutes() <= other.cost_minutes(),
                "seed {seed}: {best:?}, {other:?}"
            );
        }
    }
}

#[test]
fn what_cannot_be_decided_is_said() {
    let seed = seed_with(TroubleKind::WorkLeadOff);
    let mut shift = shift(seed);
    let from = shift.troubles()[0].from;
    while shift.now().is_some_and(|felt| felt.part < from) {
        shift.decide(Decision::GoOn).expect("a sound part");
    }
    assert_eq!(shift.decide(Decision::GoOn), Err(ShiftError::NotFound(from)));
    assert_eq!(shift.now().map(|felt| felt.part), Some(from), "it still waits");
    let mut end = played(shift, blind);
    assert_eq!(end.decide(Decision::Stop), Err(ShiftError::Over));
    let bare = Session::new(session(AS_IT_SHOULD_BE).header().clone()).expect("a session");
    assert_eq!(Shift::new(bare.state(), 1, PARTS).err(), Some(StudyError::NoPlace));
}

#[test]
fn a_chart_needs_two_values() {
    assert_eq!(individuals_chart(&[]), None);
    assert_eq!(individuals_chart(&[1.0]), None);
    let steady = individuals_chart(&[1.0, 1.0]).expect("two values");
    assert_eq!((steady.lower, steady.upper), (1.0, 1.0));
}
