//! What a long session costs: an action in it, its text, reading it again, and its review.

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use nudgeproof::cell::part_by_name;
use nudgeproof::coach;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::io::limits;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Corner, Instruction, PathKind, ProbePlan, Routine, RunSpeed, Step, StepId, TaughtPoint,
};
use nudgeproof::session::{Action, Header, Session};
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

/// A routine with as many probe steps as it may have, run for reference and once more.
fn most_probes() -> Session {
    let mut session = empty();
    let part = session.header().part.clone();
    let plan = ProbePlan { freedoms: Freedoms::PLAN, reference: true, ..ProbePlan::new("a", "o") };
    let mut routine = Routine { plans: vec![plan.clone()], ..Routine::default() };
    let home = TaughtPoint { name: "home".into(), at: part.rest };
    routine.points.push(home);
    let go = |to: &str, path| Instruction::Move { to: to.into(), path, corner: Corner::FullStop };
    let mut all = vec![go("home", PathKind::Joint), Instruction::BeginProbing { plan: "a".into() }];
    for i in 0..limits::PROBES.most - 2 {
        let touch = &part.model_touches[i % part.model_touches.len()];
        let direction = Vector3::from(touch.direction);
        let aside = Vector3::new(direction.y.abs(), direction.x.abs(), 0.0) * (i as f64 * 0.05);
        let name = format!("p{i}");
        routine.points.push(TaughtPoint { name: name.clone(), at: touch.from + aside });
        all.push(go("home", PathKind::Joint));
        all.push(go(&name, PathKind::Joint));
        let face = touch.face.clone();
        all.push(Instruction::Probe { from: name.clone(), direction, face });
        all.push(go(&name, PathKind::Linear));
    }
    all.extend([Instruction::FinishProbing, go("home", PathKind::Joint)]);
    let step = |(i, instruction)| Step { id: StepId(i as u32 + 1), instruction };
    routine.steps = all.into_iter().enumerate().map(step).collect();
    session.act(Action::LoadRoutine { routine }).expect("within the limits");
    let run = || Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None };
    session.act(run()).expect("it runs");
    session
        .act(Action::SetPlan { plan: ProbePlan { reference: false, ..plan } })
        .expect("flag off");
    session.act(run()).expect("it runs");
    session
}

fn review(c: &mut Criterion) {
    let session = most_probes();
    let mut group = c.benchmark_group("a routine with as many probe steps as it may have");
    group.sample_size(10);
    group.bench_function("checked", |b| b.iter(|| coach::check_routine(session.state())));
    group.bench_function("reviewed", |b| b.iter(|| coach::review(&session)));
    group.finish();
}

criterion_group!(benches, actions, review);
criterion_main!(benches);
