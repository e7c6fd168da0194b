//! How long one solve takes.

mod rectangle;

use criterion::{Criterion, criterion_group, criterion_main};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Freedoms, Touch, forecast, locate};
use std::hint::black_box;

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
            b.iter(|| locate(Freedoms::PLAN, black_box(touches), 0.15));
        });
    }
    group.bench_function("forecast, 2+2 touches", |b| {
        b.iter(|| forecast(Freedoms::PLAN, black_box(&touches), 0.15));
    });
    let located = locate(Freedoms::PLAN, &touches, 0.15).expect("solvable");
    let (seam_end, seam) = (Point3::new(80.0, 160.0, 0.0), Vector3::x());
    group.bench_function("carried to a weld point", |b| {
        b.iter(|| located.at_point(black_box(&seam_end), &seam));
    });
    group.finish();
}

/// Three touches on top, two in front, one on the left, the part turned about an oblique axis.
fn tilted(c: &mut Criterion) {
    let faces = [-Vector3::z(), Vector3::y(), Vector3::x()];
    let places = [
        (0, Point3::new(50.0, 50.0, 100.0)),
        (0, Point3::new(350.0, 80.0, 100.0)),
        (0, Point3::new(200.0, 220.0, 100.0)),
        (1, Point3::new(50.0, 0.0, 40.0)),
        (1, Point3::new(350.0, 0.0, 60.0)),
        (2, Point3::new(0.0, 125.0, 50.0)),
    ];
    let mut group = c.benchmark_group("slide and tilt, with covariance");
    for degrees in [3.0_f64, 40.0] {
        let turn = Vector3::new(2.0, 1.0, 2.0).normalize() * degrees.to_radians();
        let part = Pose::new(Vector3::new(4.0, -3.0, 2.0), turn);
        let touches = places.map(|(face, at)| {
            let (n, q) = (part.vector(&faces[face]), part.point(&at));
            let travel = n.dot(&(q - at)) / n.dot(&faces[face]);
            Touch::taught(face, faces[face], at).found(at + faces[face] * travel)
        });
        group.bench_function(format!("3+2+1 touches, turned {degrees}°"), |b| {
            b.iter(|| locate(Freedoms::SIX, black_box(&touches), 0.15));
        });
    }
    group.finish();
}

criterion_group!(benches, solve, tilted);
criterion_main!(benches);
