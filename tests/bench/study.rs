//! How many whole production runs a second a study does on one core.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nudgeproof::session::{Session, Study};

const RUNS: usize = 10_000;
const SESSION: &str = include_str!("../cases/sessions/as-it-should-be.json");

fn whole_runs(c: &mut Criterion) {
    let session = Session::from_json(SESSION).expect("it is played");
    let study = Study::new(session.state(), 1).expect("it has a reference");
    let mut group = c.benchmark_group("study");
    group.throughput(Throughput::Elements(RUNS as u64)).sample_size(20);
    group.bench_function("whole production runs, four touches", |b| {
        b.iter(|| study.run(1..1 + RUNS));
    });
    group.finish();
}

criterion_group!(benches, whole_runs);
criterion_main!(benches);
