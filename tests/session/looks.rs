//! Looks, mends and the minutes they take; and faults of the wire that pass.

use crate::support::{AS_IT_SHOULD_BE, session};
use nudgeproof::cell::{Fault, Look, Mend};
use nudgeproof::geometry::{PoseFile, Vector3};
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{
    Action, Evidence, PLACE_MINUTES, RUN_HANDLING_MINUTES, Reading, Session, Sign, Told,
};

#[track_caller]
fn act(session: &mut Session, action: Action) {
    if let Err(why) = session.act(action) {
        panic!("it can be done, but: {why}");
    }
}

fn plant(session: &mut Session, fault: Fault) {
    act(session, Action::Plant { fault });
}

const DRY: Action = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None };
const WELD: Action = Action::Run { speed: RunSpeed::Full, arc: true, steps: None };

/// What is seen there, as text.
fn look(session: &mut Session, at: Look) -> String {
    act(session, Action::Look { at });
    let saw = &session.state().looks.last().expect("a look").saw;
    saw.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

#[test]
fn the_clock_counts_runs_looks_and_hands() {
    let mut s = session(AS_IT_SHOULD_BE);
    let begun = s.state().minutes();
    let runs: f64 = s
        .state()
        .runs
        .iter()
        .map(|r| (r.duration / 60.0).ceil() + f64::from(RUN_HANDLING_MINUTES))
        .sum();
    assert_eq!(f64::from(begun), runs + f64::from(PLACE_MINUTES), "four runs, and one nudge");
    act(&mut s, Action::Look { at: Look::Clamps });
    act(&mut s, Action::Mend { by: Mend::CleanEdge });
    act(&mut s, Action::CutWire { stick_out_mm: 15.0 });
    act(&mut s, Action::place_part(PoseFile { dx: 1.0, ..PoseFile::default() }));
    let hands = [Look::Clamps.minutes(), Mend::CleanEdge.minutes(), Mend::CutWire.minutes()];
    let now = begun + hands.iter().sum::<u32>() + PLACE_MINUTES;
    assert_eq!(s.state().minutes(), now, "each adds its own");
    let bodies = std::collections::BTreeMap::new();
    act(&mut s, Action::MoveInSecret { part: PoseFile::default(), bodies });
    assert_eq!(s.state().minutes(), now, "an instructor takes no time");
}

#[test]
fn a_mend_puts_right_what_it_is_for_and_nothing_else() {
    let mut s = session(AS_IT_SHOULD_BE);
    plant(&mut s, Fault::SpatterBridge);
    plant(&mut s, Fault::WorkLeadOff);
    plant(&mut s, Fault::WireBent { bend: Vector3::new(1.5, 0.0, 0.0) });
    let left = |s: &Session| s.state().faults.iter().map(Fault::name).collect::<Vec<_>>();
    act(&mut s, Action::Mend { by: Mend::CleanEdge });
    assert_eq!(left(&s).len(), 3, "no edge was dirty");
    act(&mut s, Action::Mend { by: Mend::ChangeTip });
    assert_eq!(left(&s), ["work-lead-off"], "nozzle off, wire cut");
    assert_eq!(s.state().wire.bend, Vector3::zeros(), "straight");
    act(&mut s, Action::Mend { by: Mend::FastenLead });
    assert!(left(&s).is_empty(), "all of it");
}

#[test]
fn a_bent_wire_is_seen_until_it_is_cut_and_then_on_what_was_cut_off() {
    let mut s = session(AS_IT_SHOULD_BE);
    let straight = look(&mut s, Look::WireTip);
    assert!(straight.contains("straight"), "{straight}");
    plant(&mut s, Fault::WireBent { bend: Vector3::new(0.4, -1.5, 0.0) });
    let bent = look(&mut s, Look::WireTip);
    assert!(bent.contains("bent downwards"), "{bent}");
    // The run ends with a trim: the bent end lies under the cutter.
    act(&mut s, DRY);
    let cut_off = look(&mut s, Look::WireTip);
    assert!(cut_off.contains("cut off") && cut_off.contains("bent downwards"), "{cut_off}");
    // An arc burns it away, and leaves nothing to be seen.
    plant(&mut s, Fault::WireBent { bend: Vector3::new(0.4, -1.5, 0.0) });
    act(&mut s, WELD);
    assert_eq!(look(&mut s, Look::WireTip), straight, "nothing is left of it");
}

#[test]
fn an_untrimmed_wire_shows_its_ball() {
    let mut s = session(AS_IT_SHOULD_BE);
    plant(&mut s, Fault::UntrimmedWire { stick_out_mm: 16.5 });
    let saw = look(&mut s, Look::WireTip);
    assert!(saw.contains("ball") && saw.contains("longer"), "{saw}");
    act(&mut s, DRY);
    let saw = look(&mut s, Look::WireTip);
    assert!(saw.contains("cut off") && saw.contains("ball"), "{saw}");
}

#[test]
fn a_wire_in_a_worn_tip_is_straight_and_stands_elsewhere() {
    let mut s = session(AS_IT_SHOULD_BE);
    plant(&mut s, Fault::TipWorn { wear_mm: 1.5 });
    act(&mut s, DRY);
    act(&mut s, DRY);
    let offset = |run| s.state().sign(Evidence::Reading { run, what: Reading::Offset });
    let signs = [offset(3), offset(5), offset(6)];
    assert!(signs[1..].contains(&Some(Sign::Changed)), "the same part, another offset: {signs:?}");
    assert!(look(&mut s, Look::WireTip).contains("straight"), "the wire itself");
    assert!(look(&mut s, Look::Nozzle).contains("worn"), "the hole of the tip");
    act(&mut s, Action::Mend { by: Mend::ChangeTip });
    act(&mut s, DRY);
    let after = s.state().sign(Evidence::Reading { run: 7, what: Reading::Offset });
    assert_ne!(after, None, "it runs again");
    assert_eq!(
        s.state().runs.last().expect("a run").wire[0].1.bend,
        Vector3::zeros(),
        "on the axis"
    );
}

#[test]
fn with_a_worn_clamp_the_part_lies_further_away_in_runs_that_compare() {
    let mut s = session(AS_IT_SHOULD_BE);
    let put = s.state().work_from_part;
    plant(&mut s, Fault::WornClamp { away: PoseFile { dx: 7.0, ..PoseFile::default() } });
    act(&mut s, DRY);
    let lay = s.state().run_contexts.last().expect("a run").began.part;
    let by = lay.translation() - put.translation();
    assert!((by.x - 7.0).abs() < 1e-9 && by.y.abs() < 1e-9, "{by:?}");
    assert_eq!(s.state().work_from_part, put, "it lies where it was put once the clamp holds");
    let sign = s.state().sign(Evidence::Reading { run: 5, what: Reading::Offset });
    assert_eq!(sign, Some(Sign::BeyondPlay), "the play is 6 mm");
}

#[test]
fn a_look_in_a_session_that_is_told_shows_what_is_so() {
    let mut s = session(AS_IT_SHOULD_BE);
    act(&mut s, Action::PlantInSecret { fault: Fault::WorkLeadOff });
    let saw = look(&mut s, Look::WorkLead);
    assert!(saw.contains("loose"), "{saw}");
    let told = Told::of(&s, None).expect("a secret");
    assert_eq!(told.session().state().looks, s.state().looks, "as it was seen");
    assert!(told.session().state().faults.is_empty(), "and nothing is named");
}
