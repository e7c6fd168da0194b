//! Random routines on random parts never panic, never hang, and replay to the same log.
//! `ROUTINES=1000000 cargo test --release --test routine random_routines` runs a million of them.

use nudgeproof::cell::{CellSettings, Fault, Part, held_back_parts, parts};
use nudgeproof::geometry::{Outline, OutlineCorner, Point2, Point3, PoseFile, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Instruction, PathKind, Routine, RunSpeed, Step, StepId, Stop, TaughtPoint,
};
use nudgeproof::session::{Action, CellState, Header, Session};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

const NAMES: [&str; 6] = ["home", "south-1", "west-1", "clear", "weld-start", "never taught"];
const PLACES: [&str; 3] = ["part", "left-end", "never found"];
/// Steps in a routine; each makes at most two legs.
const MOST_STEPS: usize = 24;

fn point(rng: &mut Pcg64) -> Point3<f64> {
    Point3::new(
        rng.random_range(-200.0..600.0),
        rng.random_range(-200.0..450.0),
        rng.random_range(-5.0..150.0),
    )
}

fn name(rng: &mut Pcg64) -> String {
    NAMES[rng.random_range(0..NAMES.len())].into()
}

fn way(rng: &mut Pcg64) -> PathKind {
    if rng.random_bool(0.5) { PathKind::Joint } else { PathKind::Linear }
}

fn place(rng: &mut Pcg64) -> String {
    PLACES[rng.random_range(0..PLACES.len())].into()
}

fn act(rng: &mut Pcg64) -> Instruction {
    match rng.random_range(0..14) {
        0 | 1 => Instruction::Move {
            to: name(rng),
            way: way(rng),
            stop: if rng.random_bool(0.3) {
                Stop::Round(rng.random_range(-10.0..200.0))
            } else {
                Stop::Full
            },
        },
        2 => Instruction::SensingOn {
            speed_mm_s: rng.random_range(0.1..300.0),
            reach_mm: rng.random_range(1.0..300.0),
        },
        3..=6 => {
            let direction = match rng.random_range(0..5) {
                0 => Vector3::y(),
                1 => Vector3::x(),
                2 => -Vector3::z(),
                3 => Vector3::zeros(),
                _ => Vector3::from_fn(|_, _| rng.random_range(-1.0..1.0)),
            };
            Instruction::Feel { from: name(rng), way: way(rng), direction, face: name(rng) }
        }
        7 => Instruction::SensingOff,
        8 | 9 => {
            let may = Freedoms::from_bits_truncate(rng.random_range(0..64));
            Instruction::Find { place: place(rng), may }
        }
        10 if rng.random_bool(0.6) => Instruction::Follow { place: place(rng) },
        10 => Instruction::StopFollowing,
        11 => Instruction::WeldStart { to: name(rng) },
        12 if rng.random_bool(0.3) => Instruction::WeldThrough { to: name(rng) },
        12 => Instruction::WeldEnd { to: name(rng) },
        _ => Instruction::TrimWire,
    }
}

fn routine(rng: &mut Pcg64) -> Routine {
    let points =
        NAMES[..5].iter().map(|n| TaughtPoint { name: (*n).into(), at: point(rng) }).collect();
    let steps = (0..rng.random_range(1..MOST_STEPS))
        .map(|i| Step { id: StepId(i as u32 + 1), instruction: act(rng) })
        .collect();
    Routine { points, steps }
}

/// A built-in part, or one whose plate is a random star-shaped outline.
fn part(rng: &mut Pcg64) -> Part {
    let known: Vec<Part> = parts().into_iter().chain(held_back_parts()).collect();
    let mut part = known[rng.random_range(0..known.len())].clone();
    if rng.random_bool(0.5) {
        let n = rng.random_range(3..9);
        let corners = (0..n)
            .map(|i| {
                let angle = std::f64::consts::TAU * f64::from(i) / f64::from(n);
                let r = rng.random_range(60.0..180.0);
                let at = Point2::new(200.0 + r * libm::cos(angle), 125.0 + r * libm::sin(angle));
                OutlineCorner { at, radius: 0.0 }
            })
            .collect();
        part.bodies[0].outline = Outline { corners };
        part.bodies[0].holes.clear();
        part.bodies[0].edges.clear();
    }
    part
}

fn session(seed: u64) -> Session {
    let mut rng = Pcg64::seed_from_u64(seed);
    let mut header = Header::new(part(&mut rng), seed);
    header.settings = CellSettings { sigma_mm: rng.random_range(0.0..2.0), ..header.settings };
    let mut session = Session::new(header).expect("the part can be set up");
    let mut actions = vec![Action::LoadRoutine { routine: routine(&mut rng) }];
    for _ in 0..3 {
        let pose = PoseFile {
            dx: rng.random_range(-30.0..30.0),
            dy: rng.random_range(-30.0..30.0),
            turn_deg: rng.random_range(-20.0..20.0),
            ..PoseFile::default()
        };
        if rng.random_bool(0.5) {
            actions.push(Action::place_part(pose));
        }
        if rng.random_bool(0.1) {
            actions.push(Action::Plant { fault: Fault::PartSlipsMidRun { slip: pose } });
        }
        actions.push(Action::SetReference { on: rng.random_bool(0.4) });
        let steps = rng.random_bool(0.3).then(|| rng.random_range(0..MOST_STEPS));
        actions.push(Action::Run { speed: RunSpeed::Full, arc: rng.random_bool(0.5), steps });
        if rng.random_bool(0.3) {
            actions.push(Action::SetReference { on: rng.random_bool(0.5) });
            actions.push(Action::SetCell { state: CellState::LockedOut });
            actions.push(Action::SetCell { state: CellState::Ready });
        }
        if steps.is_some() && rng.random_bool(0.5) {
            actions.push(Action::Resume { steps: None });
        }
    }
    for action in actions {
        // A resume may find nothing paused; anything else is in order.
        let resume = matches!(action, Action::Resume { .. });
        let done = session.act(action);
        assert!(done.is_ok() || resume, "seed {seed}: {done:?}");
    }
    session
}

fn finite(p: &Point3<f64>) -> bool {
    p.iter().all(|v| v.is_finite())
}

#[test]
fn random_routines_run_to_an_end() {
    let count = std::env::var("ROUTINES").ok().and_then(|n| n.parse().ok()).unwrap_or(1500);
    let mut stopped = 0;
    for seed in 0..count {
        let session = session(seed);
        for run in &session.state().runs {
            assert!(run.legs.len() <= 2 * MOST_STEPS, "seed {seed}: {} legs", run.legs.len());
            assert!(run.duration.is_finite() && run.duration >= 0.0, "seed {seed}: time");
            for leg in &run.legs {
                assert!(leg.path.iter().all(finite), "seed {seed}: a leg leaves the world");
                assert!(leg.time[1] >= leg.time[0], "seed {seed}: time runs backwards");
            }
            assert!(run.welds.iter().all(|w| w.worst_mm.is_finite()), "seed {seed}: a miss");
            stopped += usize::from(!run.finished());
        }
    }
    assert!(stopped > 0, "most of these are nonsense, and some must stop");
}

#[test]
fn random_sessions_replay_to_the_same_log() {
    for seed in 0..200 {
        let once = session(seed);
        let again = Session::from_json(&once.to_json())
            .unwrap_or_else(|e| panic!("seed {seed}: {e}\n{}", once.to_json()));
        assert_eq!(once.state().runs, again.state().runs, "seed {seed}");
    }
}
