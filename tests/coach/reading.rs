//! What the coach reads in a routine, on routines written by hand: layouts that are fine for their
//! tolerance, and how its words and numbers compare with what the cell then does.

use crate::support::session;
use nudgeproof::cell::{EdgeMade, MadeEdge, part_by_name};
use nudgeproof::coach::{self, Finding, RuleName};
use nudgeproof::geometry::Pose;
use nudgeproof::io::from_json;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, Header, Session};

/// `tests/cases/coach/start.json` with these actions.
fn start(actions: &str) -> Session {
    let mut session = session("coach/start.json");
    for action in from_json::<Vec<Action>>(actions).unwrap_or_else(|e| panic!("{actions}: {e}")) {
        let name = action.name();
        session.act(action).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
    session
}

fn found(session: &Session) -> Vec<Finding> {
    coach::check_routine(session.state())
}

fn run(arc: bool) -> Action {
    Action::Run { speed: RunSpeed::Reduced, arc, steps: None }
}

/// Reference, proof, and a run on a part that has moved as far as it may.
fn whole_job(session: &Session) -> Session {
    let flag = |on| Action::SetReference { on };
    let moved = session.state().by_hand([Action::place_part(Pose::planar(4.0, -5.0, 0.04))]);
    let proved = [flag(true), run(false), flag(false), run(false)];
    let job = proved.into_iter().chain(moved).chain([run(false)]);
    session.replayed(session.actions().iter().cloned().chain(job)).expect("it replays")
}

#[track_caller]
fn assert_fine(session: &Session) {
    assert!(found(session).is_empty(), "{:?}", found(session));
    let done = whole_job(session);
    let last = done.state().last_run().expect("a run");
    assert!(last.landed(), "{:?}", last.events);
    let review = coach::review(&done);
    assert!(review.findings.is_empty(), "{:?}", review.findings);
}

#[test]
fn two_close_touches_are_fine_where_another_pair_holds_the_turn() {
    assert_fine(&start(r#"[{"action": "teach", "point": "west-2", "at": [-16, 55, 5]}]"#));
}

/// Two touches from above, with the height ticked and no tilt: they are no baseline for the turn.
#[test]
fn two_touches_on_top_are_no_baseline() {
    assert_fine(&start(
        r#"[
        {"action": "teach", "point": "over-1", "at": [200, 60, 90]},
        {"action": "teach", "point": "top-1", "at": [200, 60, 27]},
        {"action": "teach", "point": "top-2", "at": [212, 60, 27]},
        {"action": "add_step", "at": 8, "step": {"do": "move", "to": "over-1", "way": "joint"}},
        {"action": "add_step", "at": 9, "step": {"do": "feel", "from": "top-1", "way": "linear", "direction": [0, 0, -1], "face": "top"}},
        {"action": "add_step", "at": 10, "step": {"do": "move", "to": "over-1", "way": "linear"}},
        {"action": "add_step", "at": 11, "step": {"do": "feel", "from": "top-2", "way": "linear", "direction": [0, 0, -1], "face": "top"}},
        {"action": "add_step", "at": 12, "step": {"do": "move", "to": "over-1", "way": "linear"}},
        {"action": "change_step", "id": 10, "step": {"do": "find", "place": "part", "may": ["x", "y", "height", "turn"]}}
        ]"#,
    ));
}

/// South and north are each touched once, 300 mm apart: that tells the turn as well as a pair would.
#[test]
fn a_turn_may_be_told_by_two_faces_touched_once() {
    assert_fine(&start(
        r#"[
        {"action": "delete_step", "id": 3},
        {"action": "delete_step", "id": 7},
        {"action": "teach", "point": "beyond", "at": [350, 310, 90]},
        {"action": "teach", "point": "north-1", "at": [350, 266, 5]},
        {"action": "add_step", "at": 6, "step": {"do": "move", "to": "beyond", "way": "joint"}},
        {"action": "add_step", "at": 7, "step": {"do": "feel", "from": "north-1", "way": "linear", "direction": [0, -1, 0], "face": "north"}},
        {"action": "add_step", "at": 8, "step": {"do": "move", "to": "beyond", "way": "linear"}}
        ]"#,
    ));
}

/// A tip above the plate meets the rail behind it where the reach is long: two touches of one face then
/// lie on two, and the weld misses.
#[test]
fn a_touch_of_the_rail_instead_of_the_plate_is_named_and_costs_the_miss() {
    let session = start(
        r#"[
        {"action": "teach", "point": "south-2", "at": [90, -16, 16]},
        {"action": "change_step", "id": 2, "step": {"do": "sensing_on", "speed_mm_s": 20, "reach_mm": 220}}
        ]"#,
    );
    let done = whole_job(&session);
    let review = coach::review(&done);
    let finding = review.findings.iter().find(|f| f.rule == RuleName::TouchHeight);
    let finding = finding.unwrap_or_else(|| panic!("{:?}", review.findings));
    assert!(finding.message.to_string().contains("seat rail behind it"), "{}", finding.message);
    let miss = done.state().last_run().and_then(|r| r.worst_miss()).expect("a weld").abs();
    let mm = finding.cost.mm.expect("a cost");
    // The run itself is noisy, the cost is worked out without noise: three sigma at the seam.
    assert!(miss > 0.7 && (mm - miss).abs() < 0.5, "{mm} and {miss}");
}

/// Edges as they came from the mill scatter three times as much. The forecast says so before anything
/// runs, and 300 sessions, each with its own noise, come to the same spread.
#[test]
fn the_forecast_on_rough_edges_is_what_the_cell_does() {
    let smooth = start("[]");
    let mut header = smooth.header().clone();
    let all = 0..header.part.bodies[0].outline.corners.len();
    header.part.bodies[0].edges =
        all.map(|edge| MadeEdge { edge, made: EdgeMade::Rolled }).collect();
    let rough = |seed| Header { seed, ..header.clone() };
    let session = Session::replay(rough(1), smooth.actions().iter().cloned()).expect("it replays");
    let findings = found(&session);
    let [finding] = &findings[..] else { panic!("{findings:?}") };
    assert_eq!(finding.rule, RuleName::ForecastOutsideTolerance);
    let message = finding.message.to_string();
    let stated = message.split('±').nth(1).expect("a spread");
    let stated: f64 = stated.split(' ').next().and_then(|n| n.parse().ok()).expect("a number");
    let end = finding.point.as_deref().expect("a weld point") == "weld-end";
    let flag = |on| Action::SetReference { on };
    let job = [flag(true), run(false), flag(false), run(false)];
    let runs: u64 = 300;
    let square = |seed| {
        let actions = smooth.actions().iter().cloned().chain(job.clone());
        let session = Session::replay(rough(seed), actions).expect("it replays");
        let log = session.state().last_run().expect("a run");
        let miss = log.welds[0].miss[usize::from(end)].across_mm;
        miss * miss
    };
    let rms = ((0..runs).map(square).sum::<f64>() / runs as f64).sqrt();
    // The standard deviation of an estimate from n values is 1/√2n of it (JCGM 100:2008, E.4.3): 4 %.
    // Three of them, and half a digit.
    assert!((3.0 * rms / stated - 1.0).abs() < 0.17, "±{stated} stated, ±{} seen", 3.0 * rms);
}

/// Both weld points stand back along the wire: it points at the seam, from too far away.
#[test]
fn a_weld_point_too_far_from_the_work_is_said_as_that() {
    let session = start(
        r#"[
        {"action": "teach", "point": "weld-start", "at": [80, 156.8, 15.2]},
        {"action": "teach", "point": "weld-end", "at": [360, 156.8, 15.2]}
        ]"#,
    );
    let review = coach::review(&whole_job(&session));
    let rules: Vec<_> = review.findings.iter().map(|f| f.rule).collect();
    assert_eq!(rules, [RuleName::WeldPointOffSeam; 2], "{:?}", review.findings);
    // √2 · 3.2 mm along the wire (trigonometry; the work angle by AWS A3.0).
    for text in [&review.findings[0].message, &review.score.weld.reason] {
        let text = text.to_string();
        assert!(text.contains("tip-to-work distance is off by 4.5 mm, allowed 3.0 mm"), "{text}");
    }
}

/// The hinge plate lies elsewhere on every frame. Touches on the frame land the weld where the plate lies
/// as drawn, and miss where it does not; the coach names it, and feels the plate instead.
#[test]
fn touches_on_the_frame_do_not_tell_where_its_hinge_plate_lies() {
    let mut header = start("[]").header().clone();
    header.part = part_by_name("bin-hinge").expect("it comes with the program");
    let mut routine = (*start("[]").state().routine).clone();
    for (name, at) in [
        ("south-1", [280.0, -16.0, 5.0]),
        ("south-2", [60.0, -16.0, 5.0]),
        ("west-2", [-16.0, 190.0, 5.0]),
        ("clear-2", [-60.0, 190.0, 80.0]),
        ("approach", [95.0, 70.0, 60.0]),
        ("weld-start", [95.0, 90.0, 12.0]),
        ("weld-end", [245.0, 90.0, 12.0]),
        ("retreat", [245.0, 70.0, 60.0]),
    ] {
        let point = routine.points.iter_mut().find(|p| p.name == name).expect("it is taught");
        point.at = at.into();
    }
    let load = [Action::LoadRoutine { routine }];
    let session = Session::replay(header, load).expect("it replays");
    let flag = |on| Action::SetReference { on };
    let own = Pose::planar(0.0, 1.2, 0.0);
    let bodies = [("hinge plate".to_owned(), own.into())].into();
    let part = Pose::planar(3.0, -4.0, 0.02).into();
    let moved = session.state().by_hand([Action::PlacePart { part, bodies }]);
    let proved = [flag(true), run(false), flag(false), run(false)];
    let job: Vec<Action> = proved.into_iter().chain(moved).chain([run(false)]).collect();
    let done = |session: &Session| {
        session.replayed(session.actions().iter().chain(&job).cloned()).expect("it replays")
    };
    let missed = done(&session);
    let review = coach::review(&missed);
    let [finding] = &review.findings[..] else { panic!("{:?}", review.findings) };
    assert_eq!(finding.rule, RuleName::DatumNotOfTheSeam);
    // 1.2 mm · cos 45° (trigonometry; the work angle by AWS A3.0).
    let miss = missed.state().last_run().and_then(|r| r.worst_miss()).expect("a weld").abs();
    assert!((miss - 0.85).abs() < 0.4, "{miss}");
    let mm = finding.cost.mm.expect("a cost");
    assert!((mm - 0.85).abs() < 0.1, "{mm}");
    let mut mended = session.clone();
    for action in coach::mend(&session, &found(&session)[0]).expect("a mend") {
        mended.act(action).expect("it can be done");
    }
    assert!(found(&mended).is_empty(), "{:?}", found(&mended));
    let landed = done(&mended);
    assert!(landed.state().last_run().is_some_and(|r| r.landed()), "on the plate it lands");
}
