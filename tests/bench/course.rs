//! How long it takes to tell how an attempt at a lesson stands, after many actions.

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use nudgeproof::geometry::Vector3;
use nudgeproof::lesson::{ProgressTracker, lesson};
use nudgeproof::session::Action;
use std::hint::black_box;
use std::sync::Arc;

/// The lesson of most actions, whose first stage asks the coach after each of them.
const LESSON: &str = "unseen-part";

fn standing(c: &mut Criterion) {
    let lesson = Arc::new(lesson(LESSON).expect("the lesson is there").clone());
    let solved = lesson.solved().expect("it can be solved");
    // As dear as it gets: the routine is whole, and has a finding.
    let mut session = lesson.start();
    for action in &solved.actions()[session.actions().len()..] {
        let before = session.clone();
        session.act(action.clone()).expect("part of the solution");
        if lesson.progress(&session).done > 0 {
            session = before;
            break;
        }
    }
    let mut group = c.benchmark_group("standing of an attempt");
    for actions in [300, 3000] {
        while session.actions().len() < actions {
            let by = if session.actions().len().is_multiple_of(2) { 1.0 } else { -1.0 };
            let to = session.state().torch + Vector3::x() * by;
            session.act(Action::MoveTorch { to }).expect("free space");
        }
        group.bench_with_input(BenchmarkId::new("from the start", actions), &session, |b, s| {
            b.iter(|| lesson.standing(black_box(s)));
        });
        let mut before = session.clone();
        before.undo();
        let mut watched = ProgressTracker::new(lesson.clone());
        watched.standing(&before);
        group.bench_with_input(
            BenchmarkId::new("one action further", actions),
            &session,
            |b, s| {
                b.iter_batched_ref(
                    || watched.clone(),
                    |watched| watched.standing(black_box(s)),
                    BatchSize::LargeInput,
                );
            },
        );
    }
    group.finish();
}

criterion_group!(benches, standing);
criterion_main!(benches);
