//! Agreement with an independent general-purpose solver: the Levenberg–Marquardt
//! implementation of the crate `levenberg-marquardt` (a port of MINPACK), on its own
//! parametrisation of the motion, the true faces and numerical derivatives.

use crate::scenes::{
    NAMED, SIGMA, Scene, all_sets, assert_same_motion, direction, generator, pivots_anywhere,
    usual_faces,
};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra_034::{DMatrix, DVector, Dyn, Owned, Rotation3, Vector3};
use nudgeproof::geometry::{self, Pose};
use nudgeproof::locate::{Freedom, Freedoms, Touch, locate};
use rand::RngExt;

const CASES: u64 = 10_000;

/// Of large tilts.
const TILTED: u64 = 2000;

/// Of each set of freedoms.
const EACH_SET: u64 = 40;

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
            about: if pivots_anywhere(scene.freedoms) {
                flat(vector(&touches[0].reference.coords))
            } else {
                Vector3::zeros()
            },
            first_search: vector(&touches[0].search).normalize(),
            rows: rows.collect(),
        }
    }

    fn motion(&self) -> (Vector3<f64>, Vector3<f64>) {
        let p = &self.p;
        if self.freedoms == Freedoms::ALONG_SEARCH {
            return (self.first_search * p[0], Vector3::zeros());
        }
        let mut all = [0.0; 6];
        let mut axes: Vec<usize> = self.freedoms.list().map(Freedom::axis).collect();
        axes.sort_unstable();
        axes.into_iter().zip(p.iter()).for_each(|(axis, v)| all[axis] = *v);
        let [x, y, z, rx, ry, rz] = all;
        (Vector3::new(x, y, z), Vector3::new(rx, ry, rz) / 100.0)
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
    let mut freedoms = NAMED.into_iter().cycle();
    for seed in 0..CASES {
        let scene = Scene::draw(freedoms.next().expect("cycle"), (seed / 6 % 5) as usize, seed);
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        assert_agrees(&scene, &touches, None);
    }
}

/// Every set of freedoms, exact and noisy contacts, with and without touches to spare.
#[test]
fn every_set_of_freedoms_agrees_with_levenberg_marquardt() {
    for (freedoms, seed) in all_sets().flat_map(|f| (0..EACH_SET).map(move |seed| (f, seed))) {
        let scene = Scene::draw(freedoms, (seed % 4) as usize, seed);
        let exact = locate(freedoms, &scene.touches, SIGMA)
            .unwrap_or_else(|e| panic!("{freedoms:?}, seed {seed}: {e}"));
        assert_same_motion(&exact.motion, &scene.truth, &scene.touches[0].reference, 1e-6, 1e-9);
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        assert_agrees(&scene, &touches, None);
    }
}

/// From no motion the other may end elsewhere, so it starts at the true motion.
#[test]
fn large_tilts_agree_with_levenberg_marquardt() {
    for seed in 0..TILTED {
        let scene = Scene::tilted(
            |rng| usual_faces(Freedoms::SIX, rng),
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
