//! Agreement with an independent general-purpose solver: the Levenberg–Marquardt
//! implementation of the crate `levenberg-marquardt` (a port of MINPACK), on its own
//! parametrisation of the motion, the true faces and numerical derivatives.

use crate::scenes::{SIGMA, Scene, assert_same_motion, direction, generator, usual_faces};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra_034::{DMatrix, DVector, Dyn, Owned, Rotation3, Vector3};
use nudgeproof::geometry::{self, Pose};
use nudgeproof::locate::{Freedoms, Touch, locate};
use rand::RngExt;

const CASES: u64 = 10_000;

/// Of large tilts.
const TILTED: u64 = 2000;

/// For central differences, mm and hundredths of a radian.
const STEP: f64 = 1e-4;

struct Problem {
    freedoms: Freedoms,
    /// Shift of the point `about` and rotation vector: as many as there are unknowns.
    p: DVector<f64>,
    about: Vector3<f64>,
    first_search: Vector3<f64>,
    /// Normal, point of the face, current contact.
    rows: Vec<(Vector3<f64>, Vector3<f64>, Vector3<f64>)>,
}

fn vector(v: &geometry::Vector3<f64>) -> Vector3<f64> {
    Vector3::new(v.x, v.y, v.z)
}

impl Problem {
    fn new(scene: &Scene, touches: &[Touch]) -> Self {
        let flat = |v: Vector3<f64>| {
            if scene.freedoms.is_planar() { Vector3::new(v.x, v.y, 0.0) } else { v }
        };
        let rows = touches.iter().zip(&scene.faces).map(|(t, (n, q))| {
            (vector(n), flat(vector(&q.coords)), flat(vector(&t.current.expect("found").coords)))
        });
        Self {
            freedoms: scene.freedoms,
            p: DVector::zeros(scene.freedoms.count()),
            about: flat(vector(&touches[0].reference.coords)),
            first_search: vector(&touches[0].search).normalize(),
            rows: rows.collect(),
        }
    }

    fn motion(&self) -> (Vector3<f64>, Vector3<f64>) {
        let p = &self.p;
        let zero = Vector3::zeros();
        match self.freedoms {
            Freedoms::SlideOne => (self.first_search * p[0], zero),
            Freedoms::SlideTwo => (Vector3::new(p[0], p[1], 0.0), zero),
            Freedoms::SlideTurn => (Vector3::new(p[0], p[1], 0.0), Vector3::z() * (p[2] / 100.0)),
            Freedoms::SlideThree => (Vector3::new(p[0], p[1], p[2]), zero),
            Freedoms::SlideThreeTurn => {
                (Vector3::new(p[0], p[1], p[2]), Vector3::z() * (p[3] / 100.0))
            }
            Freedoms::SlideTilt => {
                (Vector3::new(p[0], p[1], p[2]), Vector3::new(p[3], p[4], p[5]) / 100.0)
            }
        }
    }

    fn pose(&self) -> Pose {
        let (s, w) = self.motion();
        let t = s + self.about - Rotation3::new(w) * self.about;
        Pose::new(geometry::Vector3::new(t.x, t.y, t.z), geometry::Vector3::new(w.x, w.y, w.z))
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, p: &DVector<f64>) {
        self.p.copy_from(p);
    }

    fn params(&self) -> DVector<f64> {
        self.p.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let (s, w) = self.motion();
        let back = Rotation3::new(w).inverse();
        let residual = |(n, q, c): &(Vector3<f64>, Vector3<f64>, Vector3<f64>)| {
            n.dot(&(back * (c - s - self.about) + self.about - q))
        };
        Some(DVector::from_iterator(self.rows.len(), self.rows.iter().map(residual)))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let differences = (0..self.p.len()).map(|k| {
            let at = |step: f64| {
                let mut p = self.p.clone();
                p[k] += step;
                Self { p, rows: self.rows.clone(), ..*self }.residuals().expect("always")
            };
            (at(STEP) - at(-STEP)) / (2.0 * STEP)
        });
        Some(DMatrix::from_columns(&differences.collect::<Vec<_>>()))
    }
}

/// Asserts that the solver comes to rest where the other does from `p` on.
#[track_caller]
fn assert_agrees(scene: &Scene, touches: &[Touch], p: Option<DVector<f64>>) {
    let located = locate(scene.freedoms, touches, SIGMA).expect("solvable");
    let tight = LevenbergMarquardt::new().with_ftol(1e-15).with_xtol(1e-14).with_gtol(1e-14);
    let mut problem = Problem::new(scene, touches);
    problem.p = p.unwrap_or(problem.p);
    let (fitted, _) = tight.minimize(problem);
    // Central differences leave it some 1e-8 short of the minimum.
    assert_same_motion(&located.motion, &fitted.pose(), &touches[0].reference, 1e-6, 1e-8);
}

#[test]
fn ten_thousand_random_cases_agree_with_levenberg_marquardt() {
    let mut freedoms = Freedoms::ALL.into_iter().cycle();
    for seed in 0..CASES {
        let scene = Scene::draw(freedoms.next().expect("cycle"), (seed / 6 % 5) as usize, seed);
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        assert_agrees(&scene, &touches, None);
    }
}

/// From no motion the other may end elsewhere, so it starts at the true motion.
#[test]
fn large_tilts_agree_with_levenberg_marquardt() {
    for seed in 0..TILTED {
        let scene = Scene::tilted(
            |rng| usual_faces(Freedoms::SlideTilt, rng),
            (seed % 5) as usize,
            seed,
            |rng| direction(rng) * rng.random_range(0.2..1.2),
        );
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        let about = &touches[0].reference;
        let (s, w) = (scene.truth.point(about) - about, scene.truth.rotation_vector() * 100.0);
        let p = DVector::from_iterator(6, s.iter().chain(w.iter()).copied());
        assert_agrees(&scene, &touches, Some(p));
    }
}
