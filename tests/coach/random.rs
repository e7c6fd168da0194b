//! Whatever a learner edits, the coach and the lessons have an answer: random edits of every lesson
//! and of every part never panic in a review, a check of the routine, a mend, a score or the
//! progress of the lesson.
//! `EDITS=20000 cargo test --release --test coach_random` tries that many sessions.

use nudgeproof::cell::{
    EdgeMade, FAULT_NAMES, Fault, FixturePlay, Look, Mend, Part, held_back_parts, parts,
};
use nudgeproof::coach::{self, Attempt};
use nudgeproof::geometry::{Point3, PoseFile, Vector3};
use nudgeproof::lesson::{Lesson, lessons};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Instruction, PART_PLACE, PathKind, Routine, RunSpeed, Step, StepId, Stop, TaughtPoint,
};
use nudgeproof::session::{Action, CellState, Certainty, Header, NamedCause, Session};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

/// Sessions that are tried if `EDITS` does not say otherwise.
const SESSIONS: u64 = 150;
/// Edits in a session at most.
const MOST_EDITS: usize = 24;

/// Numbers that are at the edge of something.
const ODD: [f64; 14] =
    [0.0, -0.0, 1e-12, -1e-3, 0.5, 1.0, 7.0, 45.0, 50.0, 90.0, 180.0, 99_999.0, 1e9, f64::MAX];

fn number(rng: &mut Pcg64) -> f64 {
    match rng.random_range(0..10) {
        0 => ODD[rng.random_range(0..ODD.len())],
        1 => -ODD[rng.random_range(0..ODD.len())],
        2 => f64::NAN,
        3 => f64::INFINITY,
        4..=6 => rng.random_range(-20.0..20.0),
        _ => rng.random_range(-400.0..600.0),
    }
}

/// Mostly where the part is.
fn place(rng: &mut Pcg64) -> Point3<f64> {
    if rng.random_bool(0.1) {
        return Point3::new(number(rng), number(rng), number(rng));
    }
    Point3::new(
        rng.random_range(-100.0..500.0),
        rng.random_range(-100.0..400.0),
        rng.random_range(-5.0..120.0),
    )
}

/// A direction on the plan by its angle, as the page gives one, or anything at all.
fn direction(rng: &mut Pcg64) -> Vector3<f64> {
    match rng.random_range(0..8) {
        0 => Vector3::zeros(),
        1 => -Vector3::z(),
        2 => Vector3::new(number(rng), number(rng), number(rng)),
        _ => {
            let angle = f64::from(rng.random_range(0..36)) * 10.0_f64.to_radians();
            Vector3::new(libm::cos(angle), libm::sin(angle), 0.0)
        }
    }
}

fn pose(rng: &mut Pcg64) -> PoseFile {
    if rng.random_bool(0.1) {
        return PoseFile { dx: number(rng), turn_deg: number(rng), ..PoseFile::default() };
    }
    PoseFile {
        dx: rng.random_range(-12.0..12.0),
        dy: rng.random_range(-12.0..12.0),
        turn_deg: rng.random_range(-5.0..5.0),
        ..PoseFile::default()
    }
}

/// A name that is in use, as a rule.
fn pick<'a>(rng: &mut Pcg64, known: impl Iterator<Item = &'a str>) -> String {
    let known: Vec<_> = known.collect();
    match rng.random_range(0..8) {
        0 => "not there".into(),
        1 => ["", " ", "home", PART_PLACE, "ä\u{0}\u{202e}"][rng.random_range(0..5)].into(),
        _ if known.is_empty() => "new".into(),
        _ => known[rng.random_range(0..known.len())].into(),
    }
}

fn one_of<T>(rng: &mut Pcg64, all: impl Iterator<Item = T>) -> T {
    let mut all: Vec<T> = all.collect();
    let n = rng.random_range(0..all.len());
    all.swap_remove(n)
}

fn point_name(rng: &mut Pcg64, routine: &Routine) -> String {
    pick(rng, routine.points.iter().map(|p| p.name.as_str()))
}

fn place_name(rng: &mut Pcg64, routine: &Routine) -> String {
    pick(rng, routine.places().into_iter())
}

fn way(rng: &mut Pcg64) -> PathKind {
    if rng.random_bool(0.5) { PathKind::Joint } else { PathKind::Linear }
}

fn step_id(rng: &mut Pcg64, routine: &Routine) -> StepId {
    match routine.steps.len() {
        0 => StepId(rng.random_range(0..3)),
        n => routine.steps[rng.random_range(0..n)].id,
    }
}

fn instruction(rng: &mut Pcg64, routine: &Routine) -> Instruction {
    let name = point_name(rng, routine);
    match rng.random_range(0..14) {
        0 | 1 => Instruction::Move {
            to: name,
            way: way(rng),
            stop: if rng.random_bool(0.3) { Stop::Round(number(rng)) } else { Stop::Full },
        },
        2 | 3 => sensing_on(rng),
        4..=6 => Instruction::Feel {
            from: name,
            way: way(rng),
            direction: direction(rng),
            face: "south".into(),
        },
        7 => Instruction::SensingOff,
        8 => Instruction::Find {
            place: place_name(rng, routine),
            may: Freedoms::from_bits_truncate(rng.random_range(0..64)),
        },
        9 if rng.random_bool(0.5) => Instruction::Follow { place: place_name(rng, routine) },
        9 => Instruction::StopFollowing,
        10 => Instruction::WeldStart { to: name },
        11 => Instruction::WeldThrough { to: name },
        12 => Instruction::WeldEnd { to: name },
        _ => Instruction::TrimWire,
    }
}

fn sensing_on(rng: &mut Pcg64) -> Instruction {
    match rng.random_range(0..3) {
        0 => Instruction::SensingOn { speed_mm_s: number(rng), reach_mm: number(rng) },
        1 => Instruction::SensingOn {
            speed_mm_s: rng.random_range(1.0..200.0),
            reach_mm: rng.random_range(1.0..60.0),
        },
        _ => Instruction::sensing_on(),
    }
}

fn fault(rng: &mut Pcg64, part: &Part) -> Fault {
    match rng.random_range(0..16) {
        0 => Fault::PaintedEdge {
            body: pick(rng, part.bodies.iter().map(|b| b.name.as_str())),
            edge: rng.random_range(0..9),
            from_mm: rng.random_range(0.0..50.0),
            to_mm: rng.random_range(20.0..400.0),
            depth_mm: rng.random_range(0.0..6.0),
        },
        1 => Fault::ClampMoved {
            clamp: pick(rng, part.clamps.iter().map(|b| b.name.as_str())),
            dx: number(rng),
            dy: number(rng),
        },
        2 => Fault::OutOfSquare { lean_deg: rng.random_range(-31.0..31.0) },
        3 => Fault::WireBent { bend: Vector3::new(number(rng), 1.0, 0.0) },
        4 => Fault::StickOutChanged { stick_out_mm: rng.random_range(0.0..110.0) },
        5 => Fault::SensingSpeedChanged { speed_mm_s: number(rng) },
        8 => Fault::WorkLeadOff,
        9 => Fault::SpatterBridge,
        10 => Fault::UntrimmedWire { stick_out_mm: rng.random_range(0.0..110.0) },
        11 => Fault::TipWorn { wear_mm: rng.random_range(0.0..11.0) },
        12 => Fault::RoughEdge {
            body: pick(rng, part.bodies.iter().map(|b| b.name.as_str())),
            edge: rng.random_range(0..9),
            made: EdgeMade::Rolled,
        },
        13 => Fault::LooseUpright {
            body: pick(rng, part.bodies.iter().map(|b| b.name.as_str())),
            dx: number(rng),
            dy: number(rng),
        },
        14 => Fault::WornClamp { away: pose(rng) },
        6 => Fault::PartSlipsMidRun { slip: pose(rng) },
        7 => Fault::ReferenceOnMovedPart { part: pose(rng) },
        _ => Fault::WrongPart { part: pick(rng, parts().iter().map(|p| p.name.as_str())) },
    }
}

/// One edit of the session as it stands; some cannot be done, which is an answer as well.
fn edit(rng: &mut Pcg64, session: &Session) -> Action {
    let state = session.state();
    let routine = &state.routine;
    let steps = rng.random_bool(0.2).then(|| rng.random_range(0..6));
    let place_in_list = |rng: &mut Pcg64| rng.random_range(0..=routine.steps.len() + 1);
    match rng.random_range(0..30) {
        0..=2 => {
            let at = rng.random_bool(0.7).then(|| place_in_list(rng));
            Action::AddStep { at, step: instruction(rng, routine) }
        }
        3..=5 => Action::ChangeStep { id: step_id(rng, routine), step: instruction(rng, routine) },
        6 | 7 => Action::DeleteStep { id: step_id(rng, routine) },
        8 => Action::MoveStep { id: step_id(rng, routine), to: place_in_list(rng) },
        9 | 10 => Action::Teach { point: point_name(rng, routine), at: place(rng) },
        11 => Action::RenamePoint { from: point_name(rng, routine), to: point_name(rng, routine) },
        12 | 13 => Action::DeletePoint { point: point_name(rng, routine) },
        14 | 15 => Action::SetReference { on: rng.random_bool(0.5) },
        16 => Action::SetCell {
            state: if rng.random_bool(0.3) { CellState::LockedOut } else { CellState::Ready },
        },
        17 => {
            let mut routine = Routine::clone(routine);
            match rng.random_range(0..5) {
                0 => routine.points.clear(),
                1 => routine.steps.retain(|s| !matches!(s.instruction, Instruction::Find { .. })),
                2 => routine.steps.reverse(),
                3 => routine
                    .steps
                    .push(Step { id: StepId(u32::MAX), instruction: instruction(rng, &routine) }),
                _ => routine.points.push(TaughtPoint { name: "far".into(), at: place(rng) }),
            }
            for step in &mut routine.steps {
                if matches!(step.instruction, Instruction::SensingOn { .. }) {
                    step.instruction = sensing_on(rng);
                }
            }
            Action::LoadRoutine { routine }
        }
        18 => Action::MoveTorch { to: place(rng) },
        19 | 20 => Action::place_part(pose(rng)),
        21..=24 => Action::Run {
            speed: if rng.random_bool(0.5) { RunSpeed::Full } else { RunSpeed::Reduced },
            arc: rng.random_bool(0.5),
            steps,
        },
        25 => Action::Resume { steps },
        26 => Action::Abort,
        27 => Action::CutWire { stick_out_mm: number(rng) },
        28 => Action::Plant { fault: fault(rng, &state.part) },
        _ => match rng.random_range(0..9) {
            0 => Action::ClearFaults,
            1 => Action::ClearFault { fault: pick(rng, FAULT_NAMES.iter().copied()) },
            2 => Action::Conceal { part: pose(rng) },
            3 => Action::Reveal,
            4 => Action::Name {
                causes: vec![NamedCause {
                    cause: pick(rng, FAULT_NAMES.iter().copied()),
                    by: None,
                }],
            },
            5 => {
                let (stage, answer) = (rng.random_range(0..9), rng.random_range(0..6));
                let certainty = Certainty::ALL.get(rng.random_range(0..4)).copied();
                Action::Predict { stage, answer, certainty }
            }
            6 => Action::Look { at: one_of(rng, Look::all()) },
            7 => Action::Mend { by: one_of(rng, Mend::all()) },
            _ => Action::Hint { rule: "stage-1".into(), hint_level: rng.random() },
        },
    }
}

/// Asks everything that the page and the command line ask of a session.
fn ask_all(session: &Session, lesson: Option<&Lesson>) {
    let review = coach::review(session);
    for finding in &review.findings {
        let mm = finding.cost.mm.unwrap_or(0.0);
        assert!(mm.is_finite(), "{finding:?}");
        if let Some(edits) = coach::mend(session, finding) {
            let mut mended = session.clone();
            for edit in edits {
                drop(mended.act(edit));
            }
        }
    }
    coach::check_routine(session.state());
    Attempt::of(session, &review);
    session.state().true_part_shown();
    if let Some(lesson) = lesson {
        lesson.progress(session);
        lesson.answers(session);
        lesson.score(session);
    }
}

/// Parts that come with the program, some of them with nothing left of their play or their helps.
fn part(rng: &mut Pcg64) -> Part {
    let known: Vec<Part> = parts().into_iter().chain(held_back_parts()).collect();
    let mut part = known[rng.random_range(0..known.len())].clone();
    if rng.random_bool(0.3) {
        part.play = FixturePlay { about: part.play.about, ..FixturePlay::default() };
    }
    if rng.random_bool(0.2) {
        part.play = FixturePlay { turn_deg: 3.0, ..FixturePlay::default() };
    }
    if rng.random_bool(0.2) {
        part.model_touches.clear();
        part.seams.iter_mut().for_each(|seam| seam.place = None);
    }
    if rng.random_bool(0.1) {
        part.seams.clear();
        part.model_touches.retain(|touch| touch.place.is_none());
    }
    if rng.random_bool(0.1) {
        part.clamps.clear();
    }
    part
}

/// The session with random edits, and the lesson it belongs to.
fn session(seed: u64) -> (Session, Option<&'static Lesson>) {
    let mut rng = Pcg64::seed_from_u64(seed);
    let known = lessons();
    let lesson = rng.random_bool(0.8).then(|| known[seed as usize % known.len()]);
    let mut session = match lesson {
        Some(lesson) if rng.random_bool(0.5) => lesson.solved().expect("it can be solved"),
        Some(lesson) => lesson.start(),
        None => {
            let mut session = Session::new(Header::new(part(&mut rng), seed)).expect("a session");
            let like = lesson_routine(&mut rng);
            session.act(Action::LoadRoutine { routine: like }).expect("a routine of a lesson");
            session
        }
    };
    for _ in 0..rng.random_range(1..MOST_EDITS) {
        // One that cannot be done leaves the session as it was.
        let _ = session.act(edit(&mut rng, &session));
    }
    (session, lesson)
}

fn lesson_routine(rng: &mut Pcg64) -> Routine {
    let lesson = lessons()[rng.random_range(0..lessons().len())];
    let solved = lesson.solved().expect("it can be solved");
    Routine::clone(&solved.state().routine)
}

#[test]
fn random_edits_are_reviewed_without_a_panic() {
    let count = std::env::var("EDITS").ok().and_then(|n| n.parse().ok()).unwrap_or(SESSIONS);
    for seed in 0..count {
        let (session, lesson) = session(seed);
        let asked = std::panic::catch_unwind(|| ask_all(&session, lesson));
        assert!(asked.is_ok(), "seed {seed}:\n{}", session.to_json());
    }
}

/// A play, freedoms and a removed turn that leave nothing to look for.
#[test]
fn a_touch_askew_in_a_fixture_that_only_lets_the_part_turn_is_reviewed() {
    let lesson = nudgeproof::lesson::lesson("one-touch").expect("it comes with the program");
    let mut session = lesson.solved().expect("it can be solved");
    let steps = &session.state().routine.steps;
    let feel = steps.iter().find(|s| matches!(s.instruction, Instruction::Feel { .. }));
    let Step { id, mut instruction } = feel.expect("a feel").clone();
    let angle = 50.0_f64.to_radians();
    if let Instruction::Feel { direction, .. } = &mut instruction {
        *direction = Vector3::new(libm::cos(angle), libm::sin(angle), 0.0);
    }
    session.act(Action::ChangeStep { id, step: instruction }).expect("an angle like any other");
    ask_all(&session, Some(lesson));
}
