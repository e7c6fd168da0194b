//! Random but repeatable scenes: a part of flat faces, touches taught on them,
//! a motion, and the exact contacts after it.

use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Freedom, Freedoms, Touch, forecast};
use rand::{Rng, RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;
use std::f64::consts::{PI, TAU};

/// Touch repeatability of the scenes, mm.
pub(crate) const SIGMA: f64 = 0.15;

/// Layouts with a larger condition number are not drawn.
const MAX_CONDITION: f64 = 30.0;

/// The sets of freedoms that case files have names for.
pub(crate) const NAMED: [Freedoms; 6] = [
    Freedoms::ALONG_SEARCH,
    Freedoms::SLIDE_XY,
    Freedoms::PLAN,
    Freedoms::SLIDE_XYZ,
    Freedoms::UPRIGHT,
    Freedoms::SIX,
];

/// One draw in two or three is good.
const MOST_TRIES: usize = 1000;

/// Touches with exact contacts, and what is really so.
pub(crate) struct Scene {
    pub(crate) freedoms: Freedoms,
    pub(crate) touches: Vec<Touch>,
    /// True face of every touch: unit normal into the part, and a point of it.
    pub(crate) faces: Vec<(Vector3<f64>, Point3<f64>)>,
    pub(crate) truth: Pose,
}

pub(crate) fn generator(seed: u64) -> Pcg64Mcg {
    Pcg64Mcg::seed_from_u64(seed)
}

impl Scene {
    /// A scene with `extra` touches beyond the least number.
    pub(crate) fn draw(freedoms: Freedoms, extra: usize, seed: u64) -> Self {
        let faces = |rng: &mut Pcg64Mcg| usual_faces(freedoms, rng);
        let motion = |first: &Touch, rng: &mut Pcg64Mcg| motion(freedoms, first, rng);
        Self::with(freedoms, extra, seed, faces, motion)
    }

    /// The same for *slide and tilt*, with other faces (normals and numbers of touches) and a
    /// rotation of any size about the first touch.
    pub(crate) fn tilted(
        faces: impl Fn(&mut Pcg64Mcg) -> Vec<(Vector3<f64>, usize)>,
        extra: usize,
        seed: u64,
        rotation: impl Fn(&mut Pcg64Mcg) -> Vector3<f64>,
    ) -> Self {
        let motion = |first: &Touch, rng: &mut Pcg64Mcg| {
            let shift = Vector3::from_fn(|_, _| rng.random_range(-20.0..20.0));
            about(first, rotation(rng), shift)
        };
        Self::with(Freedoms::SIX, extra, seed, faces, motion)
    }

    /// The same with a turn on the table of up to `most` radians about the first touch.
    pub(crate) fn turned(freedoms: Freedoms, extra: usize, seed: u64, most: f64) -> Self {
        let faces = |rng: &mut Pcg64Mcg| usual_faces(freedoms, rng);
        let motion = |first: &Touch, rng: &mut Pcg64Mcg| {
            let turn = rng.random_range(-most..most);
            let lift = if freedoms == Freedoms::UPRIGHT { 20.0 } else { 0.0 };
            let shift = Vector3::new(20.0, 20.0, lift).map(|v| v * rng.random_range(-1.0..1.0));
            about(first, Vector3::z() * turn, shift)
        };
        Self::with(freedoms, extra, seed, faces, motion)
    }

    fn with(
        freedoms: Freedoms,
        extra: usize,
        seed: u64,
        faces: impl Fn(&mut Pcg64Mcg) -> Vec<(Vector3<f64>, usize)>,
        motion: impl Fn(&Touch, &mut Pcg64Mcg) -> Pose,
    ) -> Self {
        let mut rng = generator(seed);
        for _ in 0..MOST_TRIES {
            let taught = taught(freedoms, extra, &mut rng, &faces);
            let touches: Vec<Touch> = taught.iter().map(|(t, _)| *t).collect();
            let good = |f: &nudgeproof::locate::Forecast| f.condition < MAX_CONDITION;
            if !forecast(freedoms, &touches, SIGMA).as_ref().is_ok_and(good) {
                continue;
            }
            let truth = motion(&touches[0], &mut rng);
            let faces: Vec<_> = taught.into_iter().map(|(_, face)| face).collect();
            let exact = |(touch, face): (&Touch, _)| contact(touch, face, &truth);
            if let Some(found) = touches.iter().zip(&faces).map(exact).collect() {
                return Self { freedoms, touches: found, faces, truth };
            }
        }
        panic!("no good layout in {MOST_TRIES} tries: {freedoms:?}, {extra} extra, seed {seed}")
    }

    /// The same scene with every contact off by gaussian noise along its moved normal.
    pub(crate) fn noisy(&self, sigma: f64, rng: &mut impl Rng) -> Vec<Touch> {
        let moved = |(touch, (n, _)): (&Touch, &(Vector3<f64>, Point3<f64>))| {
            let noise: f64 = StandardNormal.sample(rng);
            let exact = touch.current.expect("scenes have contacts");
            touch.found(exact + self.truth.vector(n) * (sigma * noise))
        };
        self.touches.iter().zip(&self.faces).map(moved).collect()
    }
}

/// Where the search of `touch` meets its face after the motion.
fn contact(touch: &Touch, (n, q): &(Vector3<f64>, Point3<f64>), truth: &Pose) -> Option<Touch> {
    let (m, q, d) = (truth.vector(n), truth.point(q), touch.search.normalize());
    let steepness = m.dot(&d);
    (steepness > 0.2)
        .then(|| touch.found(touch.reference + d * (m.dot(&(q - touch.reference)) / steepness)))
}

type TaughtTouch = (Touch, (Vector3<f64>, Point3<f64>));

/// Faces that hold the part, the way into it and the number of touches of each.
pub(crate) fn usual_faces(freedoms: Freedoms, rng: &mut impl Rng) -> Vec<(Vector3<f64>, usize)> {
    let spin = rng.random_range(0.0..TAU);
    match freedoms {
        Freedoms::ALONG_SEARCH => vec![(direction(rng), 1)],
        Freedoms::SLIDE_XY => vec![(plan(spin), 1), (plan(spin + rng.random_range(0.4..2.7)), 1)],
        Freedoms::PLAN => vec![(plan(spin), 2), (plan(spin + rng.random_range(0.5..2.6)), 1)],
        Freedoms::SLIDE_XYZ => {
            vec![(Vector3::z() * -1.0, 1), (plan(spin), 1), (plan(spin + 1.4), 1)]
        }
        Freedoms::UPRIGHT => {
            vec![(Vector3::z() * -1.0, 1), (plan(spin), 2), (plan(spin + 1.7), 1)]
        }
        Freedoms::SIX => {
            let tilt = Pose::new(Vector3::zeros(), direction(rng) * 0.3);
            let tilted = |v| tilt.vector(&v);
            vec![(tilted(-Vector3::z()), 3), (tilted(plan(spin)), 2), (tilted(plan(spin + 1.5)), 1)]
        }
        planar if planar.is_planar() => vec![(plan(spin), 2), (plan(spin + 1.7), 1)],
        _ => vec![(-Vector3::z(), 3), (plan(spin), 2), (plan(spin + 1.5), 1)],
    }
}

/// Touches on the faces of a part about 400 mm across, somewhere in the cell.
fn taught(
    freedoms: Freedoms,
    extra: usize,
    rng: &mut Pcg64Mcg,
    faces: impl Fn(&mut Pcg64Mcg) -> Vec<(Vector3<f64>, usize)>,
) -> Vec<TaughtTouch> {
    let count = freedoms.needed_touches() + extra;
    let place = Vector3::new(
        rng.random_range(-2e3..2e3),
        rng.random_range(-2e3..2e3),
        rng.random_range(-500.0..500.0),
    );
    let mut faces = faces(rng);
    for _ in 0..extra {
        match rng.random_range(0..=faces.len()) {
            new if new == faces.len() && freedoms != Freedoms::ALONG_SEARCH => {
                let wobble = if freedoms == Freedoms::SIX { 0.2 } else { 0.0 };
                let n = plan(rng.random_range(0.0..TAU))
                    + Vector3::z() * rng.random_range(-wobble..=wobble);
                faces.push((n.normalize(), 1));
            }
            old => {
                let old = old.min(faces.len() - 1);
                faces[old].1 += 1;
            }
        }
    }
    let mut touches = Vec::with_capacity(count);
    for (label, &(n, on_face)) in faces.iter().enumerate() {
        let q = Point3::from(place - n * rng.random_range(80.0..200.0));
        let (u, v) = tangents(&n, freedoms);
        // Obliquely only where the contacts alone fix the face.
        let fixed = if freedoms.is_planar() { 2 } else { 3 };
        let lean = if on_face >= fixed && freedoms != Freedoms::ALONG_SEARCH {
            rng.random_range(-0.5..0.5)
        } else {
            0.0
        };
        for k in 0..on_face {
            // Spread along the face in turn, so that two are never in one place.
            let along = (k as f64 / on_face as f64 - 0.4 + rng.random_range(0.0..0.3)) * 300.0;
            // Now above, now below, so that three are never on one line.
            let across = rng.random_range(30.0..100.0) * if k % 2 == 0 { 1.0 } else { -1.0 };
            let reference = q + u * along + v * across;
            let search = (n + u * lean) * rng.random_range(0.5..2.0);
            touches.push((Touch::taught(label, search, reference), (n, q)));
        }
    }
    touches
}

fn motion(freedoms: Freedoms, first: &Touch, rng: &mut impl Rng) -> Pose {
    let s = Vector3::from_fn(|_, _| rng.random_range(-20.0..20.0));
    let turn = rng.random_range(-0.2..0.2);
    match freedoms {
        Freedoms::ALONG_SEARCH => Pose::new(first.search.normalize() * s.x, Vector3::zeros()),
        Freedoms::SLIDE_XY => Pose::planar(s.x, s.y, 0.0),
        Freedoms::SLIDE_XYZ => Pose::new(s, Vector3::zeros()),
        Freedoms::PLAN => flat(about(first, Vector3::z() * turn, s)),
        Freedoms::UPRIGHT => about(first, Vector3::z() * turn, s),
        Freedoms::SIX => about(first, direction(rng) * turn, s),
        set => {
            let may = |freedom: Freedom, v: f64| if set.has(freedom) { v } else { 0.0 };
            let shift =
                Vector3::new(may(Freedom::X, s.x), may(Freedom::Y, s.y), may(Freedom::Height, s.z));
            let rotation = Vector3::new(
                may(Freedom::TiltX, turn),
                may(Freedom::TiltY, 0.7 * turn),
                may(Freedom::Turn, -turn),
            );
            if pivots_anywhere(set) {
                about(first, rotation, shift)
            } else {
                Pose::new(shift, rotation)
            }
        }
    }
}

/// Whether the slides of the set go with a rotation about any point. Otherwise it rotates about the
/// frame origin.
pub(crate) fn pivots_anywhere(set: Freedoms) -> bool {
    let needs = |rotation, slides| !set.contains(rotation) || set.contains(slides);
    needs(Freedoms::TURN, Freedoms::SLIDE_XY)
        && needs(Freedoms::TILT_X, Freedoms::Y | Freedoms::HEIGHT)
        && needs(Freedoms::TILT_Y, Freedoms::X | Freedoms::HEIGHT)
}

/// All sets of the six freedoms but the empty one.
pub(crate) fn all_sets() -> impl Iterator<Item = Freedoms> {
    (1..64).map(Freedoms::from_bits_truncate)
}

/// A rotation about the first touch, not about the far-off frame origin, and a shift.
fn about(first: &Touch, rotation: Vector3<f64>, shift: Vector3<f64>) -> Pose {
    let (turned, place) = (Pose::new(Vector3::zeros(), rotation), first.reference.coords);
    Pose::new(shift + place - turned.vector(&place), rotation)
}

fn flat(pose: Pose) -> Pose {
    Pose::planar(pose.translation().x, pose.translation().y, pose.rotation_vector().z)
}

pub(crate) fn plan(angle: f64) -> Vector3<f64> {
    Vector3::new(libm::cos(angle), libm::sin(angle), 0.0)
}

pub(crate) fn direction(rng: &mut impl Rng) -> Vector3<f64> {
    let (z, angle): (f64, f64) = (rng.random_range(-1.0..1.0), rng.random_range(-PI..PI));
    let r = (1.0 - z * z).sqrt();
    Vector3::new(r * libm::cos(angle), r * libm::sin(angle), z)
}

/// Two directions along the face; in the plane the first lies on the table.
fn tangents(n: &Vector3<f64>, freedoms: Freedoms) -> (Vector3<f64>, Vector3<f64>) {
    let u = if n.xy().norm() > 0.5 || freedoms.is_planar() {
        Vector3::z().cross(n)
    } else {
        Vector3::x()
    };
    let u = (u - n * n.dot(&u)).normalize();
    (u, n.cross(&u))
}

/// Extra rotation that takes `from` to `to`, as a vector in the fixed frame, radians.
pub(crate) fn extra_rotation(to: &Pose, from: &Pose) -> Vector3<f64> {
    (to.rotation() * from.rotation().inverse()).scaled_axis()
}

/// Asserts that two motions agree: mm at the point `near`, and radians.
#[track_caller]
pub(crate) fn assert_same_motion(
    found: &Pose,
    expected: &Pose,
    near: &Point3<f64>,
    mm: f64,
    radians: f64,
) {
    let off = (found.point(near) - expected.point(near)).norm();
    let turned = extra_rotation(found, expected).norm();
    assert!(
        off <= mm && turned <= radians,
        "off by {off:e} mm, {turned:e} rad: {found:?}, expected {expected:?}"
    );
}
