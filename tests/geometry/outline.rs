//! Outlines: roundings against their exact arcs, and everything that cannot be an outline.

use crate::support::assert_near;
use nudgeproof::geometry::{
    CHORD_TOLERANCE_MM, MAX_CORNERS, Outline, OutlineCorner, OutlineError, Point2, Prism,
    PrismError, Vector2,
};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use std::f64::consts::{PI, TAU};

fn area(points: &[Point2<f64>]) -> f64 {
    let next = |i: usize| points[(i + 1) % points.len()];
    (0..points.len()).map(|i| points[i].coords.perp(&next(i).coords)).sum::<f64>() / 2.0
}

/// One piece of the exact outline: a straight stretch, or an arc between two directions.
enum Piece {
    Straight(Point2<f64>, Point2<f64>),
    Arc { centre: Point2<f64>, radius: f64, ends: [Point2<f64>; 2] },
}

/// The centre of a rounding as draughtsmen find it: where the two edges, set off inwards by the
/// radius, cross. The library goes by half angles instead.
fn pieces(outline: &Outline) -> Vec<Piece> {
    let n = outline.corners.len();
    let c = |i: usize| &outline.corners[i % n];
    let mut ends = Vec::new();
    let mut all = Vec::new();
    for i in 0..n {
        let (before, here, after) = (c(i + n - 1).at, c(i).at, c(i + 1).at);
        let (u, v) = ((here - before).normalize(), (after - here).normalize());
        let r = c(i).radius * u.perp(&v).signum();
        let left = |d: Vector2<f64>| Vector2::new(-d.y, d.x);
        // here + r left(u) + s u = here + r left(v) + t v, crossed with v:
        let s = if r == 0.0 { 0.0 } else { (left(v) - left(u)).perp(&v) * r / u.perp(&v) };
        let centre = here + left(u) * r + u * s;
        let touch = [centre - left(u) * r, centre - left(v) * r];
        if r != 0.0 {
            all.push(Piece::Arc { centre, radius: r.abs(), ends: touch });
        }
        ends.push(touch);
    }
    for i in 0..n {
        all.push(Piece::Straight(ends[i][1], ends[(i + 1) % n][0]));
    }
    all
}

fn distance(piece: &Piece, p: Point2<f64>) -> f64 {
    match piece {
        Piece::Straight(a, b) => {
            let (u, v) = (b - a, p - a);
            let s = (v.dot(&u) / u.norm_squared().max(1e-300)).clamp(0.0, 1.0);
            (v - u * s).norm()
        }
        Piece::Arc { centre, radius, ends } => {
            let (v, [a, b]) = (p - centre, ends.map(|e| e - centre));
            let between = a.perp(&v) * a.perp(&b) >= 0.0 && b.perp(&v) * b.perp(&a) >= 0.0;
            if between { (v.norm() - radius).abs() } else { (v - a).norm().min((v - b).norm()) }
        }
    }
}

/// A star-shaped outline with as large roundings as fit, either way round.
fn star(draw: &mut Pcg64Mcg) -> Outline {
    let n = draw.random_range(3..9);
    let mut corners: Vec<OutlineCorner> = (0..n)
        .map(|i| {
            let r = 50.0 + 60.0 * draw.random::<f64>();
            let a = TAU * (f64::from(i) + 0.6 * draw.random::<f64>()) / f64::from(n);
            OutlineCorner {
                at: Point2::new(r * libm::cos(a), r * libm::sin(a)),
                radius: 20.0 * draw.random::<f64>(),
            }
        })
        .collect();
    if draw.random_bool(0.5) {
        corners.reverse();
    }
    let mut outline = Outline { corners };
    while let Err(OutlineError::RadiusTooLarge(i)) = outline.check() {
        outline.corners[i].radius *= 0.7;
    }
    outline
}

#[test]
fn chords_are_within_their_tolerance_of_the_exact_arcs() {
    let mut draw = Pcg64Mcg::seed_from_u64(21);
    let mut rounded = 0;
    for _ in 0..300 {
        let outline = star(&mut draw);
        assert_eq!(outline.check(), Ok(()), "{outline:?}");
        let (exact, points) = (pieces(&outline), outline.flattened());
        assert!(area(&points) > 0.0, "counter-clockwise whichever way it is drawn");
        let n = points.len();
        rounded += n - outline.corners.len();
        for i in 0..n {
            for s in [0.0, 0.25, 0.5, 0.75] {
                let p = points[i] + (points[(i + 1) % n] - points[i]) * s;
                let off = exact.iter().map(|e| distance(e, p)).fold(f64::MAX, f64::min);
                let most = if s == 0.0 { 1e-9 } else { CHORD_TOLERANCE_MM + 1e-9 };
                assert!(off <= most, "{off} mm off at {p}: {outline:?}");
            }
        }
    }
    assert!(rounded > 10_000, "only {rounded} chords");
}

#[test]
fn a_rounded_plate_has_the_area_of_the_handbook() {
    // w h − (4 − π) r² (any table of plane figures; from memory).
    let mut plate = Outline::rectangle([0.0, 0.0], [80.0, 50.0]);
    plate.corners.iter_mut().for_each(|c| c.radius = 12.0);
    let exact = 80.0 * 50.0 - (4.0 - PI) * 144.0;
    assert_near("area", area(&plate.flattened()), exact, TAU * 12.0 * CHORD_TOLERANCE_MM);
    // Four roundings may meet: a circle.
    let mut disc = Outline::rectangle([-10.0, -10.0], [10.0, 10.0]);
    disc.corners.iter_mut().for_each(|c| c.radius = 10.0);
    assert_eq!(disc.check(), Ok(()), "a circle drawn as a square");
    let round = disc.flattened();
    assert!(round.iter().all(|p| (p.coords.norm() - 10.0).abs() < 1e-9), "all on the circle");
}

#[track_caller]
fn refused(outline: &Outline, expected: OutlineError) {
    assert_eq!(outline.check(), Err(expected), "{outline:?}");
}

#[test]
fn what_cannot_be_an_outline_is_refused_with_its_place() {
    refused(&Outline::sharp(&[[0.0, 0.0], [1.0, 0.0]]), OutlineError::TooFewCorners(2));
    let many = vec![[0.0, 0.0]; MAX_CORNERS + 1];
    refused(&Outline::sharp(&many), OutlineError::TooManyCorners(MAX_CORNERS + 1));
    for bad in [f64::NAN, f64::INFINITY, 10_000.1] {
        refused(&Outline::sharp(&[[0.0, 0.0], [9.0, bad], [9.0, 9.0]]), OutlineError::BadNumber(1));
    }
    let mut plate = Outline::rectangle([0.0, 0.0], [40.0, 20.0]);
    plate.corners[2].radius = -1.0;
    refused(&plate, OutlineError::BadNumber(2));
    plate.corners[2].radius = 20.5;
    refused(&plate, OutlineError::RadiusTooLarge(2));
    plate.corners[2].radius = 20.0;
    assert_eq!(plate.check(), Ok(()), "just fits");
    plate.corners[1].radius = 0.5;
    refused(&plate, OutlineError::RadiusTooLarge(2));
    refused(
        &Outline::sharp(&[[0., 0.], [9., 0.], [9., 0.], [0., 9.]]),
        OutlineError::SamePoint(1, 2),
    );
    refused(
        &Outline::sharp(&[[0., 0.], [9., 0.], [9., 9.], [0., 0.]]),
        OutlineError::SamePoint(3, 0),
    );
    refused(
        &Outline::sharp(&[[0., 0.], [9., 9.], [9., 0.], [0., 9.]]),
        OutlineError::Crossing(0, 2),
    );
    refused(&Outline::sharp(&[[0., 0.], [5., 5.], [9., 9.]]), OutlineError::NoArea);
    // A spike folds back on itself; a corner may not stand on another edge.
    refused(
        &Outline::sharp(&[[0., 0.], [9., 0.], [5., 0.], [5., 9.]]),
        OutlineError::Crossing(0, 1),
    );
    let pinched = [[0., 0.], [10., 0.], [10., 10.], [5., 0.], [0., 10.]];
    refused(&Outline::sharp(&pinched), OutlineError::Crossing(0, 2));
    // A notch that reaches into what the rounding of corner 0 takes away.
    let mut notched = Outline::sharp(&[
        [0., 0.],
        [40., 0.],
        [40., 30.],
        [20., 30.],
        [2., 2.],
        [18., 30.],
        [0., 30.],
    ]);
    assert_eq!(notched.check(), Ok(()), "as long as the corner is sharp");
    notched.corners[0].radius = 15.0;
    refused(&notched, OutlineError::RadiusTooLarge(0));
}

#[test]
fn no_random_scribble_makes_the_check_fail_otherwise_than_by_refusing() {
    let mut draw = Pcg64Mcg::seed_from_u64(22);
    let mut sound = 0;
    for _ in 0..5000 {
        // A coarse grid: plenty of equal points, spikes and corners on edges.
        let n = draw.random_range(0..8);
        let mut whole = |most: i32| f64::from(draw.random_range(0..most));
        let corners =
            (0..n).map(|_| OutlineCorner { at: Point2::new(whole(5), whole(5)), radius: whole(2) });
        let outline = Outline { corners: corners.collect() };
        let prism = Prism::new(&outline, &[], [0.0, 1.0]);
        assert_eq!(prism.is_ok(), outline.check().is_ok(), "{outline:?}");
        if let Ok(prism) = prism {
            sound += 1;
            assert!(area(&prism.loops[0]) > 0.0, "{outline:?}");
        }
    }
    assert!(sound > 100, "only {sound} sound outlines");
}

#[test]
fn holes_must_be_inside_and_apart_and_heights_in_order() {
    let plate = Outline::rectangle([0.0, 0.0], [40.0, 20.0]);
    let hole = |x: f64| Outline::rectangle([x, 5.0], [x + 8.0, 15.0]);
    let new = |holes: &[Outline], z| Prism::new(&plate, holes, z);
    assert_eq!(new(&[hole(35.0)], [0.0, 1.0]), Err(PrismError::HoleOutside(0)), "over the edge");
    assert_eq!(
        new(&[hole(2.0), hole(50.0)], [0.0, 1.0]),
        Err(PrismError::HoleOutside(1)),
        "beside"
    );
    assert_eq!(
        new(&[hole(2.0), hole(8.0)], [0.0, 1.0]),
        Err(PrismError::HolesMeet(0, 1)),
        "overlap"
    );
    let within = Outline::rectangle([4.0, 7.0], [6.0, 9.0]);
    assert_eq!(new(&[hole(2.0), within], [0.0, 1.0]), Err(PrismError::HolesMeet(0, 1)), "nested");
    let source = OutlineError::TooFewCorners(0);
    let none = Outline { corners: vec![] };
    assert_eq!(new(&[none], [0.0, 1.0]), Err(PrismError::Hole { index: 0, source }), "nothing");
    for z in [[1.0, 1.0], [2.0, 1.0], [0.0, f64::NAN], [f64::NEG_INFINITY, 0.0], [0.0, 1e9]] {
        let refused = new(&[], z).expect_err("no height");
        assert!(matches!(refused, PrismError::NoHeight(..)), "{refused}");
    }
    let sound = new(&[hole(2.0), hole(20.0)], [0.0, 5.0]).expect("sound");
    let holds = |x: f64, y: f64| sound.covers(&Point2::new(x, y));
    assert!(holds(1.0, 1.0) && holds(15.0, 10.0), "plate");
    assert!(!holds(5.0, 10.0) && !holds(24.0, 10.0) && !holds(41.0, 10.0), "holes and beside");
}

#[test]
fn roundings_are_made_to_fit_and_left_alone_where_they_do() {
    let corner = |x: f64, y: f64, radius| OutlineCorner { at: Point2::new(x, y), radius };
    let mut square = Outline {
        corners: vec![
            corner(0.0, 0.0, 15.0),
            corner(20.0, 0.0, 10.0),
            corner(20.0, 20.0, 2.0),
            corner(0.0, 20.0, 0.0),
        ],
    };
    square.fit_roundings();
    // By hand: at a right angle a rounding takes its radius of both edges; 25 mm do not fit on 20.
    for (corner, by_hand) in square.corners.iter().zip([12.0, 8.0, 2.0, 0.0]) {
        assert_near("radius", corner.radius, by_hand, 1e-9);
    }
    assert_eq!(square.check(), Ok(()), "sound");
}
