//! First contact and distance, against the collision library `parry3d-f64` (GJK on convex hulls):
//! an independent implementation by other people and by another method.

use nudgeproof::geometry::{
    Outline, OutlineCorner, Point2, Point3, Pose, PosedPrism, Prism, UprightNozzle, UprightWire,
    Vector3,
};
use parry3d_f64::math::{Pose as ParryPose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::{Compound, Cylinder, Segment, Shape, SharedShape};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use std::sync::Arc;

/// The library's own accuracy on these sizes, mm: its distances stop at about 1e-8 relative.
const AGREES: f64 = 1e-5;
const CASTS: usize = 10_000;

/// The same body twice: ours, and as a union of convex hulls for the other library.
struct Twin {
    ours: PosedPrism,
    theirs: Compound,
}

/// An outline, the holes in it, convex pieces whose union is the same shape, the heights.
type Drawn = (Outline, Vec<Outline>, Vec<Vec<[f64; 2]>>, [f64; 2]);

fn shapes() -> Vec<Drawn> {
    let rect = |x0: f64, y0: f64, x1: f64, y1: f64| vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]];
    let plate = Outline::rectangle([0.0, 0.0], [40.0, 25.0]);
    let ell = Outline::sharp(&[[0., 0.], [40., 0.], [40., 12.], [15., 12.], [15., 30.], [0., 30.]]);
    let mut cut = Outline::sharp(&[[0., 0.], [34., 0.], [40., 6.], [40., 25.], [0., 25.]]);
    cut.corners[3] = OutlineCorner { at: Point2::new(40.0, 25.0), radius: 8.0 };
    let cut_hull = cut.flattened().iter().map(|p| [p.x, p.y]).collect();
    let window = Outline::rectangle([10.0, 8.0], [22.0, 16.0]);
    vec![
        (plate.clone(), vec![], vec![rect(0., 0., 40., 25.)], [0.0, 12.0]),
        (ell, vec![], vec![rect(0., 0., 40., 12.), rect(0., 0., 15., 30.)], [-3.0, 8.0]),
        (cut, vec![], vec![cut_hull], [2.0, 9.0]),
        (
            plate,
            vec![window],
            vec![
                rect(0., 0., 40., 8.),
                rect(0., 16., 40., 25.),
                rect(0., 0., 10., 25.),
                rect(22., 0., 40., 25.),
            ],
            [0.0, 6.0],
        ),
    ]
}

fn twins(pose: Pose) -> Vec<Twin> {
    let twin = |(outline, holes, pieces, z): Drawn| {
        let prism = Prism::new(&outline, &holes, z).expect("a sound shape");
        let hull = |piece: &Vec<[f64; 2]>| {
            let ring =
                piece.iter().flat_map(|[x, y]| z.map(|z| pose.point(&Point3::new(*x, *y, z))));
            let points: Vec<Vector> = ring.map(|p| vector(&p)).collect();
            (ParryPose::IDENTITY, SharedShape::convex_hull(&points).expect("a solid"))
        };
        Twin {
            ours: PosedPrism::new(Arc::new(prism), pose),
            theirs: Compound::new(pieces.iter().map(hull).collect()),
        }
    };
    shapes().into_iter().map(twin).collect()
}

fn vector(p: &Point3<f64>) -> Vector {
    Vector::new(p.x, p.y, p.z)
}

fn their_distance(twin: &Twin, wire: &UprightWire) -> f64 {
    let top = wire.centre + Vector3::z() * wire.length;
    let axis = Segment::new(vector(&wire.centre), vector(&top));
    between(twin, &axis, &ParryPose::IDENTITY)
}

fn between(twin: &Twin, shape: &dyn Shape, pose: &ParryPose) -> f64 {
    let id = ParryPose::IDENTITY;
    query::distance(&id, &twin.theirs, pose, shape).expect("a supported pair").distance
}

struct Draw(Pcg64Mcg);

impl Draw {
    fn within(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.0.random::<f64>()
    }

    fn vector(&mut self, size: f64) -> Vector3<f64> {
        Vector3::from_fn(|_, _| self.within(-size, size))
    }

    /// Every third pose lies flat, as parts mostly do; a third is turned, a third tilted too.
    fn pose(&mut self, i: usize) -> Pose {
        let shift = self.vector(10.0);
        match i % 3 {
            0 => Pose::new(shift, Vector3::zeros()),
            1 => Pose::new(shift, Vector3::z() * self.within(-3.0, 3.0)),
            _ => Pose::new(shift, self.vector(0.6)),
        }
    }

    /// Towards a place in or near the body, and every other time along the axis that leads there
    /// best: contacts in which features run parallel.
    fn direction(&mut self, i: usize, from: &Point3<f64>) -> Vector3<f64> {
        let target =
            Point3::new(self.within(-5.0, 45.0), self.within(-5.0, 30.0), self.within(0.0, 9.0));
        let v = target - from;
        if i.is_multiple_of(2) {
            v.normalize()
        } else {
            Vector3::ith(v.iamax(), v[v.iamax()].signum())
        }
    }

    fn start(&mut self) -> Point3<f64> {
        Point3::new(self.within(-30.0, 70.0), self.within(-30.0, 60.0), self.within(-30.0, 40.0))
    }
}

#[test]
fn ten_thousand_wires_meet_the_body_where_the_other_library_has_them_touch() {
    let mut draw = Draw(Pcg64Mcg::seed_from_u64(21));
    let (mut met, mut missed, mut tried) = (0, 0, 0);
    let mut worst: f64 = 0.0;
    for i in 0.. {
        if tried >= CASTS {
            break;
        }
        let twins = twins(draw.pose(i));
        for _ in 0..20 {
            for (k, twin) in twins.iter().enumerate() {
                let radius = draw.within(0.4, 3.0);
                let wire =
                    UprightWire { centre: draw.start(), length: draw.within(0.0, 20.0), radius };
                if their_distance(twin, &wire) <= radius + 1e-3 {
                    continue;
                }
                tried += 1;
                let (d, reach) = (draw.direction(tried, &wire.centre), 60.0);
                let far = |t: f64| their_distance(twin, &wire.moved(&(d * t)));
                let contact = twin.ours.first_contact(&wire, &d, reach);
                let end = contact.map_or(reach, |c| c.travel);
                // Nothing touches before, and something touches then.
                for s in 0..40 {
                    let t = end * f64::from(s) / 40.0;
                    assert!(
                        far(t) >= radius - AGREES,
                        "cast {tried}, shape {k}: overlaps at {t} of {end}"
                    );
                }
                if let Some(c) = contact {
                    met += 1;
                    worst = worst.max((far(end) - radius).abs());
                    let axis = wire.moved(&(d * end));
                    let z = c.point.z.clamp(axis.centre.z, axis.centre.z + axis.length);
                    let nearest = Point3::new(axis.centre.x, axis.centre.y, z);
                    let normal = (nearest - c.point) / radius;
                    assert!((normal - c.normal).norm() < 1e-6, "cast {tried}: normal {}", c.normal);
                } else {
                    missed += 1;
                }
            }
        }
    }
    assert!(worst < AGREES, "at contact the library finds a gap that is off by {worst} mm");
    assert!(met > CASTS / 5 && missed > CASTS / 5, "{met} met, {missed} missed: a one-sided draw");
}

#[test]
fn ten_thousand_distances_agree_with_the_other_library() {
    let mut draw = Draw(Pcg64Mcg::seed_from_u64(21));
    let (mut n, mut worst): (usize, f64) = (0, 0.0);
    for i in 0.. {
        if n >= CASTS {
            break;
        }
        for twin in twins(draw.pose(i)) {
            for _ in 0..20 {
                let wire = UprightWire {
                    centre: draw.start(),
                    length: draw.within(0.0, 20.0),
                    radius: 1.0,
                };
                let ours = twin.ours.axis_nearness(&wire, 1000.0).expect("within a metre");
                worst = worst.max((ours.distance - their_distance(&twin, &wire)).abs());
                n += 1;
            }
        }
    }
    assert!(worst < AGREES, "distances differ by up to {worst} mm");
}

#[test]
fn ten_thousand_nozzles_meet_the_body_where_the_other_library_has_them_touch() {
    let mut draw = Draw(Pcg64Mcg::seed_from_u64(21));
    let (mut met, mut missed, mut tried) = (0, 0, 0);
    let mut worst: f64 = 0.0;
    // Long enough to stand for one without an end: the bodies are 60 mm across.
    let tall = 400.0;
    for i in 0.. {
        if tried >= CASTS {
            break;
        }
        let twins = twins(draw.pose(i));
        for _ in 0..20 {
            for (k, twin) in twins.iter().enumerate() {
                let nozzle = UprightNozzle { rim: draw.start(), radius: draw.within(2.0, 12.0) };
                // The library's cylinder is round about Y: turn Y into Z.
                let shape = Cylinder::new(tall / 2.0, nozzle.radius);
                let far = |v: Vector3<f64>| {
                    let centre = nozzle.rim + v + Vector3::z() * (tall / 2.0);
                    let upright = Vector::new(std::f64::consts::FRAC_PI_2, 0.0, 0.0);
                    between(twin, &shape, &ParryPose::new(vector(&centre), upright))
                };
                let apart = far(Vector3::zeros());
                if apart > AGREES {
                    assert!(!twin.ours.touches_nozzle(&nozzle), "draw {tried}: apart by {apart}");
                } else {
                    let thinner = UprightNozzle { radius: nozzle.radius + 1e-3, ..nozzle };
                    assert!(twin.ours.touches_nozzle(&thinner), "shape {k}: they overlap");
                }
                if apart <= 1e-3 {
                    continue;
                }
                tried += 1;
                let (d, reach) = (draw.direction(tried, &nozzle.rim), 60.0);
                let contact = twin.ours.first_nozzle_contact(&nozzle, &d, reach);
                let end = contact.map_or(reach, |c| c.travel);
                for s in 0..40 {
                    let t = (end - 1e-3) * f64::from(s) / 40.0;
                    assert!(far(d * t) > 0.0, "cast {tried}, shape {k}: overlaps at {t} of {end}");
                }
                if contact.is_some() {
                    met += 1;
                    // Once in ten thousand the library's search stops early and reports a gap of
                    // a millimetre, and none a step further on. A distance cannot do that.
                    let gap = far(d * end).min(far(d * (end + AGREES)));
                    worst = worst.max(gap);
                } else {
                    missed += 1;
                }
            }
        }
    }
    assert!(worst < AGREES, "at contact the library finds a gap of {worst} mm");
    assert!(met > CASTS / 5 && missed > CASTS / 10, "{met} met, {missed} missed: a one-sided draw");
}
