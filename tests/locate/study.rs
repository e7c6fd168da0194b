//! The batch study against one locate after the other, and against itself.

use crate::rectangle;
use crate::scenes::{Scene, generator};
use crate::support::assert_near;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::locate::study::{Engine, LayoutStudyError, LayoutStudySettings, study_layout};
use nudgeproof::locate::{Freedoms, Touch, locate};
use rand::RngExt;
use rand_distr::{Distribution, StandardNormal};

const RUNS: usize = 200_000;

/// Percentiles of an independent simulation of 10⁶ runs of the rectangle, mm: 0.336 and 0.412.
#[test]
fn the_rectangle_has_the_known_percentiles() {
    for engine in [Engine::ClosedForm, Engine::GaussNewton] {
        let settings = rectangle::settings(engine, RUNS, 1);
        let result = study_layout(&rectangle::touches(), &rectangle::seam(), &settings)
            .expect("a good layout");
        assert_eq!(result.engine, engine);
        assert_near("p95", result.p95_mm, 0.336, 0.003);
        assert_near("p99", result.p99_mm, 0.412, 0.003);
        assert!(
            result.inside > 0.999
                && result.p50_mm < result.p95_mm
                && result.p99_mm < result.worst_mm,
            "{result:?}"
        );
    }
}

/// Both engines minimise the same cost: same draws, same answers.
#[test]
fn the_engines_agree_run_by_run() {
    let with = |engine| {
        let settings = LayoutStudySettings { turn: 0.6, ..rectangle::settings(engine, 50_000, 1) };
        study_layout(&rectangle::touches(), &rectangle::seam(), &settings).expect("a good layout")
    };
    let (a, b) = (with(Engine::ClosedForm), with(Engine::GaussNewton));
    for (a, b) in
        [(a.p50_mm, b.p50_mm), (a.p95_mm, b.p95_mm), (a.p99_mm, b.p99_mm), (a.worst_mm, b.worst_mm)]
    {
        assert_near("percentile", a, b, 1e-6);
    }
}

/// Any layout: its percentiles are those of `locate` on runs drawn by an ordinary generator.
#[test]
fn any_layout_agrees_with_locate() {
    for (extra, seed) in [(0, 1), (1, 2), (2, 3), (3, 4), (5, 6)] {
        let scene = Scene::draw(Freedoms::PLAN, extra, seed);
        let about = scene.touches[0].reference;
        let welds = [
            about,
            Point3::from(about.coords.map(|v| v + 150.0)),
            Point3::new(about.x - 80.0, about.y + 220.0, 0.0),
        ];
        let settings =
            LayoutStudySettings { about, turn: 0.1, ..rectangle::settings(Engine::Auto, RUNS, 1) };
        let found = study_layout(&scene.touches, &welds, &settings).expect("a good layout");
        let runs = 10_000;
        let mut off = singly(&scene, &welds, &settings, runs);
        off.sort_by(f64::total_cmp);
        // The rank of a share p among n draws scatters by √(n p (1 − p)); four of those either way.
        for (share, found) in [(0.5, found.p50_mm), (0.95, found.p95_mm), (0.99, found.p99_mm)] {
            let (rank, error) =
                (share * runs as f64, 4.0 * (runs as f64 * share * (1.0 - share)).sqrt());
            let (low, high) =
                (off[(rank - error) as usize], off[((rank + error) as usize).min(runs - 1)]);
            assert!(
                low <= found && found <= high,
                "extra {extra}: {found} for share {share}, expected {low} to {high}"
            );
        }
    }
}

/// How far off the worst weld point is, for runs located one at a time.
fn singly(
    scene: &Scene,
    welds: &[Point3<f64>],
    settings: &LayoutStudySettings,
    runs: usize,
) -> Vec<f64> {
    let mut rng = generator(99);
    let mut off = Vec::with_capacity(runs);
    while off.len() < runs {
        let mut around = |half: f64| rng.random_range(-half..=half);
        let (x, y, turn) =
            (around(settings.shift_mm[0]), around(settings.shift_mm[1]), around(settings.turn));
        let slide = Pose::planar(settings.about.x + x, settings.about.y + y, turn);
        let truth = slide * Pose::planar(-settings.about.x, -settings.about.y, 0.0);
        let found: Vec<Touch> = scene
            .touches
            .iter()
            .zip(&scene.faces)
            .map(|(t, (n, q))| {
                let (m, q, d) = (truth.vector(n), truth.point(q), t.search.normalize());
                let noise: f64 = StandardNormal.sample(&mut rng);
                t.found(
                    t.reference
                        + d * (m.dot(&(q - t.reference)) / m.dot(&d) + settings.sigma_mm * noise),
                )
            })
            .collect();
        let located = locate(Freedoms::PLAN, &found, 0.15).expect("solvable").motion;
        off.push(
            welds.iter().map(|p| (located.point(p) - truth.point(p)).xy_norm()).fold(0.0, f64::max),
        );
    }
    off
}

trait PlanLength {
    fn xy_norm(&self) -> f64;
}

impl PlanLength for nudgeproof::geometry::Vector3<f64> {
    fn xy_norm(&self) -> f64 {
        libm::hypot(self.x, self.y)
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    // Not a whole number of chunks or blocks.
    let with = |threads| {
        let settings = rectangle::settings(Engine::Auto, 100_003, threads);
        study_layout(&rectangle::touches(), &rectangle::seam(), &settings).expect("a good layout")
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(5));
}

#[test]
fn another_seed_is_another_study() {
    let with = |seed| {
        let settings = LayoutStudySettings { seed, ..rectangle::settings(Engine::Auto, 5_000, 1) };
        study_layout(&rectangle::touches(), &rectangle::seam(), &settings)
            .expect("a good layout")
            .p95_mm
    };
    assert_ne!(with(1), with(2));
}

#[test]
fn without_noise_every_run_is_exact() {
    for engine in [Engine::ClosedForm, Engine::GaussNewton] {
        let settings = LayoutStudySettings {
            sigma_mm: 0.0,
            turn: 0.7,
            ..rectangle::settings(engine, 10_000, 1)
        };
        let result = study_layout(&rectangle::touches(), &rectangle::seam(), &settings)
            .expect("a good layout");
        assert!(result.worst_mm < 1e-9, "{result:?}");
        assert_eq!(result.inside, 1.0);
    }
}

#[test]
fn what_cannot_be_studied_is_refused() {
    let good = rectangle::settings(Engine::Auto, 100, 1);
    let with = |settings: LayoutStudySettings| {
        study_layout(&rectangle::touches(), &rectangle::seam(), &settings).expect_err("refused")
    };
    for bad in [
        LayoutStudySettings { runs: 0, ..good },
        LayoutStudySettings { threads: 0, ..good },
        LayoutStudySettings { turn: 1.0, ..good },
        LayoutStudySettings { turn: f64::NAN, ..good },
        LayoutStudySettings { shift_mm: [1.0, -1.0], ..good },
        LayoutStudySettings { sigma_mm: f64::INFINITY, ..good },
        LayoutStudySettings { about: Point3::new(f64::NAN, 0.0, 0.0), ..good },
    ] {
        assert!(matches!(with(bad), LayoutStudyError::Setting { .. }), "{bad:?}");
    }
    let touches = rectangle::touches();
    assert_eq!(study_layout(&touches, &[], &good), Err(LayoutStudyError::NoWeldPoint));
    let refused = study_layout(&touches[..2], &rectangle::seam(), &good);
    assert!(matches!(refused, Err(LayoutStudyError::Layout(r)) if r.code() == "too_few"));
    let mut three = touches.to_vec();
    three[3].face = 2;
    let closed = LayoutStudySettings { engine: Engine::ClosedForm, ..good };
    assert_eq!(
        study_layout(&three, &rectangle::seam(), &closed),
        Err(LayoutStudyError::NotTwoFaces { faces: 3 })
    );
}
