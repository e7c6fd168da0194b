//! What a long session costs: an action in it, its text, reading it again, and its review.

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use nudgeproof::cell::{Noise, part_by_name};
use nudgeproof::coach;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::io::limits;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Instruction, PART_PLACE, PathKind, Routine, RunSpeed, Step, StepId, Stop, TaughtPoint,
};
use nudgeproof::session::{Action, CellState, Header, Session};
use std::hint::black_box;

fn empty() -> Session {
    let part = part_by_name("bench-side").expect("it comes with the program");
    Session::new(Header::new(part, 7)).expect("a session")
}

fn teach(n: usize) -> Action {
    let at = Point3::new(n as f64 % 100.0, 0.0, 300.0);
    Action::Teach { point: format!("p{}", n % 40), at }
}

/// A session of this many actions.
fn long(actions: usize) -> Session {
    let mut session = empty();
    for n in 0..actions {
        session.act(teach(n)).expect("it can be done");
    }
    session
}

fn actions(c: &mut Criterion) {
    let mut group = c.benchmark_group("a session of this many actions");
    for n in [200, 2000, 20_000] {
        let session = long(n);
        let text = session.to_json();
        group.bench_with_input(BenchmarkId::new("one more", n), &session, |b, s| {
            b.iter_batched_ref(|| s.clone(), |s| s.act(teach(1)), BatchSize::LargeInput);
        });
        group.bench_with_input(BenchmarkId::new("its text", n), &session, |b, s| {
            b.iter(|| black_box(s).to_json());
        });
        group.sample_size(10).bench_with_input(BenchmarkId::new("read", n), &text, |b, text| {
            b.iter(|| Session::from_json(black_box(text)));
        });
    }
    group.finish();
}

/// A routine with as many feels as it may have, run for reference and once more.
fn most_feels() -> Session {
    let mut session = empty();
    let part = session.header().part.clone();
    let mut routine = Routine::default();
    routine.points.push(TaughtPoint { name: "home".into(), at: part.rest });
    let home = || Instruction::Move { to: "home".into(), way: PathKind::Joint, stop: Stop::Full };
    let mut all = vec![home(), Instruction::sensing_on()];
    for i in 0..limits::FEELS.most - 2 {
        let touch = &part.model_touches[i % part.model_touches.len()];
        let direction = Vector3::from(touch.direction);
        let aside = Vector3::new(direction.y.abs(), direction.x.abs(), 0.0) * (i as f64 * 0.05);
        let name = format!("p{i}");
        routine.points.push(TaughtPoint { name: name.clone(), at: touch.from + aside });
        let (way, face) = (PathKind::Joint, touch.face.clone());
        all.push(Instruction::Feel { from: name.clone(), way, direction, face });
        all.push(Instruction::Move { to: name, way: PathKind::Linear, stop: Stop::Full });
        all.push(home());
    }
    let find = Instruction::Find { place: PART_PLACE.into(), may: Freedoms::PLAN };
    all.extend([Instruction::SensingOff, find, home()]);
    let step = |(i, instruction)| Step { id: StepId(i as u32 + 1), instruction };
    routine.steps = all.into_iter().enumerate().map(step).collect();
    let run = || Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None };
    let actions = [
        Action::LoadRoutine { routine },
        Action::SetReference { on: true },
        run(),
        Action::SetReference { on: false },
        run(),
    ];
    session.act_all(actions).expect("within the limits");
    session
}

/// A session that is as it should be, and goes on until it has this many runs, each of another part.
fn many_runs(runs: usize) -> Session {
    let text = include_str!("../cases/sessions/as-it-should-be.json");
    let mut session = Session::from_json(text).expect("a session");
    let play = session.header().part.play;
    for n in session.state().runs.len()..runs {
        let place = play.nudge(&mut Noise::new(3, n as u64, 0));
        let part_in = [
            Action::SetCell { state: CellState::LockedOut },
            Action::place_part(place),
            Action::SetCell { state: CellState::Ready },
        ];
        session.act_all(Vec::from(part_in)).expect("a part");
        let run = Action::Run { speed: RunSpeed::Full, arc: true, steps: None };
        session.act(run).expect("a run");
    }
    session
}

fn reviews_of_many_runs(c: &mut Criterion) {
    let mut group = c.benchmark_group("the review of a session of this many runs of four touches");
    group.sample_size(10);
    for runs in [30, 300] {
        let session = many_runs(runs);
        group.bench_with_input(BenchmarkId::from_parameter(runs), &session, |b, session| {
            b.iter(|| coach::review(session));
        });
    }
    group.finish();
}

fn review(c: &mut Criterion) {
    let session = most_feels();
    let mut group = c.benchmark_group("a routine with as many feels as it may have");
    group.sample_size(10);
    group.bench_function("checked", |b| b.iter(|| coach::check_routine(session.state())));
    group.bench_function("reviewed", |b| b.iter(|| coach::review(&session)));
    group.finish();
}

criterion_group!(benches, actions, review, reviews_of_many_runs);
criterion_main!(benches);
