//! A find inside a follow refines: the whole offset of the fine place is the offset of the coarse one
//! times the correction seen from there. Without noise, so that the numbers are exact.

use crate::support::assert_near;
use nudgeproof::cell::{CellSettings, FixturePlay, Part, part_by_name};
use nudgeproof::geometry::{Point3, Pose, PoseFile, Vector3};
use nudgeproof::locate::{Fit, Freedoms};
use nudgeproof::routine::{
    EventKind, Instruction, PART_PLACE, PathKind, Routine, RunLog, RunSpeed, SolutionOutcome, Step,
    StepId, Stop, TaughtPoint,
};
use nudgeproof::session::{Action, Header, Session};
use std::collections::BTreeMap;

/// What is left of rounding, mm and radians.
const EXACT: f64 = 1e-9;

const LEFT_END: &str = "left-end";
const RAIL: &str = "seat rail";

/// Taught points, mm, with the part as drawn.
const POINTS: [(&str, [f64; 3]); 12] = [
    ("home", [-120.0, -120.0, 120.0]),
    ("clear", [-40.0, -40.0, 90.0]),
    ("south", [50.0, -16.0, 5.0]),
    ("west-low", [-16.0, 35.0, 5.0]),
    ("west-high", [-16.0, 215.0, 5.0]),
    ("beside-rail", [30.0, 140.0, 60.0]),
    ("rail-left", [100.0, 146.0, 18.0]),
    ("rail-right", [340.0, 146.0, 18.0]),
    ("rail-end", [44.0, 166.0, 18.0]),
    ("over", [80.0, 140.0, 60.0]),
    ("weld-start", [80.0, 160.0, 12.0]),
    ("weld-end", [360.0, 160.0, 12.0]),
];

fn at(point: &str) -> Point3<f64> {
    let found = POINTS.iter().find(|(name, _)| *name == point);
    found.unwrap_or_else(|| panic!("{point} is not taught")).1.into()
}

fn go(to: &str, way: PathKind) -> Instruction {
    Instruction::Move { to: to.into(), way, stop: Stop::Full }
}

/// Feels from these points, clear of the part in between, and finds the place.
fn found(place: &str, may: Freedoms, from: &[&str]) -> Vec<Instruction> {
    let mut steps = vec![Instruction::sensing_on()];
    for from in from {
        let (direction, face) = match *from {
            "south" => (Vector3::y(), "south"),
            "rail-left" | "rail-right" => (Vector3::y(), "rail"),
            "rail-end" => (Vector3::x(), "rail end"),
            _ => (Vector3::x(), "west"),
        };
        let clear = if face.starts_with("rail") { "beside-rail" } else { "clear" };
        steps.push(go(clear, PathKind::Joint));
        let (from, face) = ((*from).into(), face.into());
        steps.push(Instruction::Feel { from, way: PathKind::Linear, direction, face });
        steps.push(go(clear, PathKind::Linear));
    }
    steps.extend([Instruction::SensingOff, Instruction::Find { place: place.into(), may }]);
    steps
}

fn follow(place: &str) -> Instruction {
    Instruction::Follow { place: place.into() }
}

/// Finds the part by the coarse touches and follows it, finds the left end by the fine touches, and
/// welds while following `welded`.
fn routine(coarse: Vec<Instruction>, fine: Vec<Instruction>, welded: &str) -> Routine {
    let mut steps = vec![go("home", PathKind::Joint)];
    steps.extend(coarse);
    steps.push(follow(PART_PLACE));
    steps.extend(fine);
    steps.extend([
        follow(welded),
        go("over", PathKind::Joint),
        Instruction::WeldStart { to: "weld-start".into() },
        Instruction::WeldEnd { to: "weld-end".into() },
        go("over", PathKind::Linear),
        Instruction::StopFollowing,
        go("home", PathKind::Joint),
    ]);
    let point = |(name, at): (&str, [f64; 3])| TaughtPoint { name: name.into(), at: at.into() };
    let step = |(instruction, id)| Step { id: StepId(id), instruction };
    Routine {
        points: POINTS.into_iter().map(point).collect(),
        steps: steps.into_iter().zip(1..).map(step).collect(),
    }
}

/// A reference run with the flag on, then a weld with it off on the part as moved.
fn session(
    part: Part,
    routine: Routine,
    moved: Pose,
    bodies: BTreeMap<String, PoseFile>,
) -> Session {
    let mut header = Header::new(part, 7);
    let silent = CellSettings { sigma_mm: 0.0, scan_s: 0.0, latency_s: 0.0, ..header.settings };
    header.settings = silent;
    let mut session = Session::new(header).expect("the part can be set up");
    let run = |arc| Action::Run { speed: RunSpeed::Full, arc, steps: None };
    let actions = [Action::LoadRoutine { routine }, Action::SetReference { on: true }, run(false)];
    session.act_all(actions).expect("a reference run");
    for place in [PART_PLACE, LEFT_END] {
        let offset = session.state().memory.offsets[place];
        assert_same(&format!("{place} where it was taught"), offset, Pose::identity());
    }
    let moved = Action::PlacePart { part: moved.into(), bodies };
    session.act_all([moved, Action::SetReference { on: false }, run(true)]).expect("a weld");
    for run in &session.state().runs {
        let bent = run.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. }));
        assert!(run.finished() && !bent, "run {}: {:?}", run.number, run.events);
    }
    session
}

/// The fit of this place, and the whole offset of the place.
fn found_at<'a>(run: &'a RunLog, place: &str) -> (&'a Fit, Pose) {
    let solution = run.solutions.iter().find(|s| s.place == place).expect("a find");
    match &solution.outcome {
        SolutionOutcome::Found { located, offset } => (located, *offset),
        other => panic!("{place}: {other:?}"),
    }
}

fn fit<'a>(run: &'a RunLog, place: &str) -> &'a Fit {
    found_at(run, place).0
}

/// Motion that the fit of this place found, and the whole offset of the place.
fn solution(run: &RunLog, place: &str) -> (Pose, Pose) {
    let (fit, offset) = found_at(run, place);
    (fit.motion, offset)
}

/// The spread told of the weld is that of this fit at the taught ends, across the seam and a torch that
/// leans 45°.
#[track_caller]
fn assert_spread(run: &RunLog, fit: &Fit) {
    let across = Vector3::new(0.0, 1.0, 1.0).normalize();
    let ends = ["weld-start", "weld-end"].map(|end| fit.sigma_towards(&at(end), &across));
    let told = run.sigma_of(&run.welds[0]).expect("a spread");
    for (told, end) in told.into_iter().zip(ends) {
        assert_near("spread", told, end, EXACT);
    }
}

#[track_caller]
fn assert_same(what: &str, found: Pose, expected: Pose) {
    assert_near(what, found.translation(), expected.translation(), EXACT);
    assert_near(what, found.rotation_vector(), expected.rotation_vector(), EXACT);
}

#[track_caller]
fn assert_on_the_seam(run: &RunLog) {
    assert!(run.landed(), "{:?}", run.welds);
    assert_spread(run, fit(run, LEFT_END));
    for miss in run.welds.iter().flat_map(|w| w.miss) {
        for off in [miss.across_mm, miss.standoff_mm, miss.height_mm, miss.along_mm] {
            assert_near("on the seam", off, 0.0, EXACT);
        }
    }
}

/// The part slides and turns; the coarse find may only slide. The turn has the sides 41, 840 and 841,
/// so the numbers are fractions.
#[test]
fn a_fine_find_adds_the_turn_that_the_coarse_one_could_not_see() {
    let turn = libm::atan(41.0 / 840.0);
    let moved = Pose::planar(8.0, -7.0, turn);
    let weld_following = |welded| {
        let coarse = found(PART_PLACE, Freedoms::SLIDE_XY, &["south", "west-low"]);
        let fine = found(LEFT_END, Freedoms::PLAN, &["south", "west-low", "west-high"]);
        let part = part_by_name("bench-side").expect("it comes with the program");
        session(part, routine(coarse, fine, welded), moved, BTreeMap::new())
    };
    let session = weld_following(LEFT_END);
    let run = session.state().last_run().expect("a run");

    // The south face is felt where x = 50. The moved face, one wire radius (0.6) off, is there at
    // y = −7 + (50 − 8) · 41/840 − 0.6 · 841/840, and was at −0.6: it rose by −4.95 − 0.6/840.
    // The west face is felt where y = 35 and is at x = 8 − (35 + 7) · 41/840 − 0.6 · 841/840.
    let little = 0.6 / 840.0;
    let coarse = Pose::planar(5.95 - little, -4.95 - little, 0.0);
    let (located, offset) = solution(run, PART_PLACE);
    assert_same("the coarse fit", located, coarse);
    assert_same("the coarse place", offset, coarse);

    // The rest, seen from the coarse place, which has only slid.
    let correction = Pose::planar(2.05 + little, -2.05 + little, turn);
    let (located, offset) = solution(run, LEFT_END);
    assert_same("the correction", located, correction);
    assert_same("the fine place", offset, moved);
    assert_same("coarse times correction", coarse * correction, moved);

    let memory = &session.state().memory;
    assert_same("remembered, coarse", memory.offsets[PART_PLACE], coarse);
    assert_same("remembered, fine", memory.offsets[LEFT_END], moved);
    let found = run.events.iter().filter_map(|e| match &e.what {
        EventKind::PlaceFound { place } => Some(place.as_str()),
        _ => None,
    });
    assert_eq!(found.collect::<Vec<_>>(), [PART_PLACE, LEFT_END], "found in this order");

    // The coarse touches start where they were taught, the fine ones where the coarse place put them.
    let starts = ["south", "west-low", "south", "west-low", "west-high"];
    assert_eq!(run.searches.len(), starts.len(), "searches");
    for (i, (search, start)) in run.searches.iter().zip(starts).enumerate() {
        let carried = if i < 2 { Pose::identity() } else { coarse };
        assert_near(start, search.start, carried.point(&at(start)), EXACT);
    }

    assert_on_the_seam(run);
    let coarse_alone = weld_following(PART_PLACE);
    let run = coarse_alone.state().last_run().expect("a run");
    assert!(!run.landed(), "the coarse place does not know of the turn: {:?}", run.welds);
    // What scatters is what the weld followed, although another place was found later.
    assert_spread(run, fit(run, PART_PLACE));
}

/// Both motions turn, so their order counts: the rail has moved by itself on a part that has moved.
#[test]
fn a_fine_find_is_a_correction_seen_from_the_coarse_place() {
    let moved = Pose::planar(8.0, -7.0, libm::atan(41.0 / 840.0));
    let own = Pose::planar(1.2, 0.8, 0.4_f64.to_radians());
    let weld_following = |welded| {
        let coarse = found(PART_PLACE, Freedoms::PLAN, &["south", "west-low", "west-high"]);
        let fine = found(LEFT_END, Freedoms::PLAN, &["rail-left", "rail-right", "rail-end"]);
        let mut part = part_by_name("bench-side").expect("it comes with the program");
        let rail = part.bodies.iter_mut().find(|b| b.name == RAIL).expect("it has a rail");
        rail.play = Some(FixturePlay { dx: 2.0, dy: 2.0, turn_deg: 1.0, ..FixturePlay::default() });
        part.seams[0].body = Some(RAIL.into());
        let bodies = BTreeMap::from([(RAIL.into(), PoseFile::from(own))]);
        session(part, routine(coarse, fine, welded), moved, bodies)
    };
    let session = weld_following(LEFT_END);
    let run = session.state().last_run().expect("a run");
    let (located, offset) = solution(run, PART_PLACE);
    assert_same("the coarse fit", located, moved);
    assert_same("the coarse place", offset, moved);
    let (located, offset) = solution(run, LEFT_END);
    assert_same("the correction", located, own);
    assert_same("the fine place", offset, moved * own);
    assert_same("remembered, fine", session.state().memory.offsets[LEFT_END], moved * own);
    let other_way_round = (own * moved).translation() - offset.translation();
    assert!(other_way_round.norm() > 0.05, "the order shows: {other_way_round}");

    assert_on_the_seam(run);
    let coarse_alone = weld_following(PART_PLACE);
    let run = coarse_alone.state().last_run().expect("a run");
    assert!(!run.landed(), "the coarse place does not know of the rail: {:?}", run.welds);
}

/// The finer place by the name of the coarse one: its reference would take the other's place.
#[test]
fn a_place_is_found_once_in_a_run() {
    let coarse = found(PART_PLACE, Freedoms::SLIDE_XY, &["south", "west-low"]);
    let fine = found(PART_PLACE, Freedoms::PLAN, &["south", "west-low", "west-high"]);
    let part = part_by_name("bench-side").expect("it comes with the program");
    let mut session = Session::new(Header::new(part, 7)).expect("the part can be set up");
    let routine = routine(coarse, fine, PART_PLACE);
    let reference = [
        Action::LoadRoutine { routine },
        Action::SetReference { on: true },
        Action::Run { speed: RunSpeed::Full, arc: false, steps: None },
    ];
    session.act_all(reference).expect("a reference run");
    let run = session.state().last_run().expect("a run");
    let why = match run.stop().map(|e| &e.what) {
        Some(EventKind::PlaceNotFound { why, .. }) => why.to_string(),
        other => panic!("it stops at the second find: {other:?}"),
    };
    assert!(why.contains("part") && why.contains("a name of its own"), "{why}");
    let stored = &session.state().memory.references[PART_PLACE];
    assert_eq!(stored.touches.len(), 2, "the coarse reference is kept");
}
