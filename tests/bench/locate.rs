//! How long one planar solve takes, and how many production runs a second a study does.

mod rectangle;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nudgeproof::geometry::Vector3;
use nudgeproof::locate::study::{Engine, study};
use nudgeproof::locate::{Freedoms, forecast, locate};
use std::hint::black_box;

const RUNS: usize = 1_000_000;

fn solve(c: &mut Criterion) {
    let offsets = [0.9, 8.4, 1.1, -5.3];
    let touches: Vec<_> = rectangle::touches()
        .iter()
        .zip(offsets)
        .map(|(t, by)| t.found(t.reference + t.search * by))
        .collect();
    let mut group = c.benchmark_group("slide and turn, with covariance");
    for (name, touches) in [("2+1 touches", &touches[..3]), ("2+2 touches", &touches[..])] {
        group.bench_function(name, |b| {
            b.iter(|| locate(Freedoms::SlideTurn, black_box(touches), 0.15));
        });
    }
    group.bench_function("forecast, 2+2 touches", |b| {
        b.iter(|| forecast(Freedoms::SlideTurn, black_box(&touches), 0.15));
    });
    let located = locate(Freedoms::SlideTurn, &touches, 0.15).expect("solvable");
    let seam = Vector3::x();
    group.bench_function("carried to a weld point", |b| {
        b.iter(|| located.at_point(black_box(&rectangle::seam()[0]), &seam));
    });
    group.finish();
}

fn studies(c: &mut Criterion) {
    let all = std::thread::available_parallelism().map_or(1, usize::from);
    let mut group = c.benchmark_group("study");
    group.throughput(Throughput::Elements(RUNS as u64)).sample_size(20);
    for (name, engine) in
        [("closed form", Engine::ClosedForm), ("Gauss-Newton", Engine::GaussNewton)]
    {
        for threads in [1, all] {
            let settings = rectangle::settings(engine, RUNS, threads);
            group.bench_function(format!("{name}, {threads} threads"), |b| {
                b.iter(|| study(&rectangle::touches(), &rectangle::seam(), black_box(&settings)));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, solve, studies);
criterion_main!(benches);
