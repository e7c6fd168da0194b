//! Moves: their paths, and what they run into.

use crate::support::assert_near;
use nudgeproof::cell::{
    AllowedContact, Body, CRASH_BEND_MM, Cell, CellSettings, Contacts, MAX_DRAG_MM, Noise,
    PATH_TOLERANCE_MM, SearchResult, TABLE, held_back_parts, part_by_name, parts,
};
use nudgeproof::geometry::{Point2, Point3, Pose, Vector3, polyline};
use parry3d_f64::math::{Pose as ParryPose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::{Cylinder, Segment, Shape, SharedShape};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

fn cell(name: &str) -> Cell {
    let part = part_by_name(name).expect("it comes with the trainer");
    Cell::new(&part, &CellSettings::default(), &[]).expect("a sound part")
}

fn p(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x, y, z)
}

#[test]
fn a_joint_move_runs_on_an_arc_about_the_arm_base() {
    let cell = cell("bench-side");
    let [bx, by] = cell.part().arm_base;
    // Both ends 1416 mm from the base at (200, 1400): the whole path is.
    let path = cell.joint_path(&p(200.0 - 1416.0, by, 5.0), &p(200.0, by - 1416.0, 65.0));
    for q in &path {
        assert!((libm::hypot(q.x - bx, q.y - by) - 1416.0).abs() < 1e-9, "{q} is off the arc");
    }
    assert_eq!(path.first(), Some(&p(200.0 - 1416.0, by, 5.0)), "start");
    assert_eq!(path.last(), Some(&p(200.0, by - 1416.0, 65.0)), "end");
    // The chords follow the arc: its length is a quarter turn, its rise 60 mm.
    let exact = libm::hypot(1416.0 * std::f64::consts::FRAC_PI_2, 60.0);
    assert_near("length", polyline::length(&path), exact, 0.05);
}

#[test]
fn chords_stay_within_their_tolerance_of_the_exact_path() {
    let cell = cell("bench-side");
    let [bx, by] = cell.part().arm_base;
    let mut draw = Pcg64Mcg::seed_from_u64(3);
    for _ in 0..200 {
        let mut at =
            || p(-200.0 + 700.0 * draw.random::<f64>(), -200.0 + 700.0 * draw.random::<f64>(), 9.0);
        let (from, to) = (at(), at());
        let path = cell.joint_path(&from, &to);
        let polar =
            |q: &Point3<f64>| (libm::hypot(q.x - bx, q.y - by), libm::atan2(q.y - by, q.x - bx));
        let ((r0, a0), (r1, a1)) = (polar(&from), polar(&to));
        for k in 0..=500 {
            let s = f64::from(k) / 500.0;
            let (r, a) = (r0 + (r1 - r0) * s, a0 + (a1 - a0) * s);
            let exact = Point2::new(bx + r * libm::cos(a), by + r * libm::sin(a));
            let off = path
                .windows(2)
                .map(|w| {
                    let (u, v) = ((w[1] - w[0]).xy(), exact - w[0].xy());
                    let t = (v.dot(&u) / u.norm_squared()).clamp(0.0, 1.0);
                    (v - u * t).norm()
                })
                .fold(f64::MAX, f64::min);
            assert!(off <= PATH_TOLERANCE_MM * 1.01, "{from} to {to}: {off} mm off");
        }
    }
}

#[test]
fn an_arc_sweeps_through_a_clamp_that_a_straight_line_would_miss() {
    let cell = cell("bench-side");
    // South of the part, past the stop whose north side is at y = −40: the line passes 14.5 mm
    // north of it, the arc bows 12 mm south, and the nozzle is 12 mm in radius.
    let (from, to) = (p(10.0, -25.5, 5.0), p(390.0, -25.5, 5.0));
    let free = Contacts::default();
    assert_eq!(cell.travel(&[from, to], AllowedContact::Nothing), free, "straight");
    let met = cell.travel(&cell.joint_path(&from, &to), AllowedContact::Nothing);
    assert_eq!(met.nozzle.expect("on the arc").body, "south stop", "what it hits");
    assert_eq!(met.wire, None, "the wire is spared");
}

#[test]
fn a_wire_that_meets_something_is_bent_backwards_and_the_torch_goes_on() {
    let cell = cell("bench-side");
    let met = cell.travel(&[p(-50.0, 50.0, 5.0), p(50.0, 50.0, 5.0)], AllowedContact::Nothing);
    let hit = met.wire.expect("the wire meets the plate");
    assert_eq!(hit.body, "side plate", "what it meets");
    assert_near("one radius before the face", hit.along, 49.4, 1e-9);
    assert_eq!(hit.bend, Vector3::new(-CRASH_BEND_MM, 0.0, 0.0), "the tip stays behind");
    assert_eq!(met.nozzle, None, "nothing stops the torch: its nozzle is above the plate");
    let down = [p(-50.0, 50.0, 5.0), p(-50.0, 50.0, -5.0)];
    let hit = cell.travel(&down, AllowedContact::Nothing).wire.expect("straight down");
    assert_eq!(hit.body, TABLE, "straight down");
    assert!((hit.bend.norm() - CRASH_BEND_MM).abs() < 1e-12 && hit.bend.z == 0.0, "{}", hit.bend);
}

#[test]
fn beyond_what_stops_the_nozzle_the_wire_meets_nothing() {
    let cell = cell("bench-side");
    // The nozzle, 12 mm in radius, meets the stop well before the wire does.
    let met = cell.travel(&[p(100.0, -60.0, 5.0), p(190.0, -60.0, 5.0)], AllowedContact::Nothing);
    assert_eq!(met.nozzle.expect("it is in the way").body, "south stop", "what it hits");
    assert_eq!(met.wire, None, "the torch never gets there");
}

#[test]
fn a_touching_wire_may_come_away_but_not_press_on_or_drag() {
    let cell = cell("bench-side");
    let SearchResult::Touch(touch) = cell.search(&p(50.0, -16.0, 5.0), &Vector3::y(), 30.0) else {
        panic!("the south face is there")
    };
    let go = |v: [f64; 3]| {
        let way = [touch.torch, touch.torch + Vector3::from(v)];
        cell.travel(&way, AllowedContact::Nothing).wire
    };
    assert_eq!(go([0.0, -20.0, 0.0]), None, "back");
    assert_eq!(go([0.0, 0.0, 60.0]), None, "up along the face");
    assert_eq!(go([30.0, -1.0, 60.0]), None, "up and aside, away");
    assert_eq!(go([0.0, 0.1, 0.0]).map(|h| h.along < 0.01), Some(true), "on into the face");
    let dragged = go([40.0, 0.0, 0.0]).expect("dragged along the face");
    assert_near("dragged", dragged.along, MAX_DRAG_MM, 1e-9);
    // Free, it may not touch again.
    let away = touch.torch - Vector3::y() * 3.0;
    let again = [touch.torch, away, away + Vector3::y() * 10.0];
    let hit = cell.travel(&again, AllowedContact::Nothing).wire.expect("into the face again");
    assert_near("3 mm out, 3 mm in", hit.along, 6.0, 1e-6);
}

#[test]
fn off_a_weld_the_wire_may_rise_even_if_it_landed_in_the_plate() {
    let cell = cell("bench-side");
    for miss in [-0.5, 0.0, 0.3, 1.0] {
        let end = p(200.0, 160.0 + miss, 12.0);
        let up = [end, end + Vector3::z() * 80.0];
        assert_eq!(cell.travel(&up, AllowedContact::Nothing).wire, None, "with a miss of {miss}");
        let into = [end, end + Vector3::y() * 8.0];
        let hit = cell.travel(&into, AllowedContact::Nothing).wire.expect("through the plate");
        assert!(hit.along <= MAX_DRAG_MM + 1e-9, "with a miss of {miss}: {}", hit.along);
    }
    // On the way to the weld the same wire may touch the part, and only the part.
    let down = [p(200.0, 160.0, 80.0), p(200.0, 160.0, 12.0)];
    let met = cell.travel(&down, AllowedContact::WireOnPart);
    assert_eq!(met, Contacts::default(), "to the weld");
    let hit = cell.travel(&down, AllowedContact::Nothing).wire.expect("onto the rail's top edge");
    assert_eq!(hit.body, "seat rail", "what");
    let table = [p(-50.0, 50.0, 5.0), p(-50.0, 50.0, -5.0)];
    let met = cell.travel(&table, AllowedContact::WireOnPart);
    assert!(met.wire.is_some(), "the table is no part");
}

#[test]
fn a_move_out_of_a_crash_is_no_crash() {
    let cell = cell("bench-side");
    let nozzle = |path: &[Point3<f64>]| cell.travel(path, AllowedContact::Nothing).nozzle;
    let path = [p(100.0, -60.0, 5.0), p(185.0, -60.0, 5.0)];
    let hit = nozzle(&path).expect("its rim is below the top of the stop");
    assert_eq!(nozzle(&[hit.at, path[0]]), None, "back out of {hit:?}");
    assert!(nozzle(&[hit.at, path[1]]).is_some(), "not further in");
    // The wire against the rail, from above the plate.
    let wire = |path: &[Point3<f64>]| cell.travel(path, AllowedContact::Nothing).wire;
    let path = [p(100.0, 100.0, 12.2 + 0.4), p(100.0, 170.0, 12.2 + 0.4)];
    let hit = wire(&path).expect("something is in the way");
    assert_eq!(wire(&[hit.at, path[0]]), None, "back out of {hit:?}");
}

/// Convex pieces of a body for the other library: the outline's hull, or, for the L-shaped
/// bracket, two halves. Rounded corners are left sharp, a hole is left out.
fn hulls(body: &Body, pose: Pose) -> Vec<SharedShape> {
    let points = body.outline.corners.iter().map(|c| c.at);
    let pieces: Vec<Vec<Point2<f64>>> = match body.outline.corners.len() {
        6 => vec![
            points.clone().filter(|q| q.x <= 110.0).collect(),
            points.filter(|q| q.y <= 90.0).collect(),
        ],
        _ => vec![body.outline.flattened()],
    };
    let hull = |piece: &Vec<Point2<f64>>| {
        let at = |q: &Point2<f64>, z| pose.point(&p(q.x, q.y, z));
        let corners = piece.iter().flat_map(|q| body.z.map(|z| at(q, z)));
        let corners: Vec<Vector> = corners.map(|q| vector(&q)).collect();
        SharedShape::convex_hull(&corners).expect("a solid")
    };
    pieces.iter().map(hull).collect()
}

fn vector(q: &Point3<f64>) -> Vector {
    Vector::new(q.x, q.y, q.z)
}

/// How near wire or nozzle is to anything of the cell, by `parry3d-f64`.
fn gap(cell: &Cell, solids: &[SharedShape], torch: &Point3<f64>) -> f64 {
    let id = ParryPose::IDENTITY;
    let (wire, nozzle) = (cell.wire_at(torch), cell.nozzle_at(torch));
    let axis =
        Segment::new(vector(&wire.centre), vector(&(wire.centre + Vector3::z() * wire.length)));
    // The library's cylinder is round about Y: turn Y into Z.
    let tall = Cylinder::new(100.0, nozzle.radius);
    let upright = Vector::new(std::f64::consts::FRAC_PI_2, 0.0, 0.0);
    let stands = ParryPose::new(vector(&(nozzle.rim + Vector3::z() * 100.0)), upright);
    let far = |pose: &ParryPose, shape: &dyn Shape, solid: &SharedShape| {
        query::distance(&id, &**solid, pose, shape).expect("a supported pair").distance
    };
    let prisms =
        solids.iter().map(|s| (far(&id, &axis, s) - wire.radius).min(far(&stands, &tall, s)));
    prisms.fold(wire.tip().z, f64::min)
}

#[test]
fn no_path_passes_through_a_body_without_a_hit() {
    let mut draw = Pcg64Mcg::seed_from_u64(8);
    let (mut free, mut crashed) = (0, 0);
    for (k, part) in parts().iter().chain(&held_back_parts()).enumerate() {
        if part.bodies.iter().any(|b| !b.holes.is_empty()) {
            continue;
        }
        let mut cell = Cell::new(part, &CellSettings::default(), &[]).expect("a sound part");
        for i in 0..100 {
            let pose = part.play.nudge(&mut Noise::new(9, k as u64, i));
            cell.place_part(pose);
            let bodies = part.bodies.iter().map(|b| (b, pose));
            let clamps = part.clamps.iter().map(|c| (c, Pose::identity()));
            let solids: Vec<_> = bodies.chain(clamps).flat_map(|(b, at)| hulls(b, at)).collect();
            let mut at = |top: f64| {
                let mut within = |lo: f64, hi: f64| lo + (hi - lo) * draw.random::<f64>();
                p(within(-80.0, 450.0), within(-80.0, 330.0), within(1.0, top))
            };
            let (from, to) = (at(120.0), at(90.0));
            let path = if i % 2 == 0 { cell.joint_path(&from, &to) } else { vec![from, to] };
            if gap(&cell, &solids, &from) < 0.01 {
                continue;
            }
            let met = cell.travel(&path, AllowedContact::Nothing);
            let wire = met.wire.map(|h| (h.along, h.at));
            let first = wire.or(met.nozzle.map(|h| (h.along, h.at)));
            let clear = first.map_or(polyline::length(&path), |(along, _)| along);
            for s in 0..40 {
                let q = polyline::point_at(&path, (clear - 1e-3) * f64::from(s) / 40.0);
                let gap = gap(&cell, &solids, &q);
                assert!(gap > 0.0, "{}: {from} to {to} is in at {q}, {first:?}", part.name);
            }
            match first {
                None => free += 1,
                Some((_, at)) => {
                    crashed += 1;
                    let left = gap(&cell, &solids, &at);
                    assert!(left < 1e-4, "{}: {left} mm from anything at {at}", part.name);
                }
            }
        }
    }
    assert!(free > 100 && crashed > 100, "{free} free, {crashed} crashed: a one-sided draw");
}

#[test]
fn what_is_found_moves_with_the_whole_cell() {
    // Turn part, torch and search about Z together: everything found turns with them. Clamps and
    // table stay, so a search that meets one of them does not count.
    let mut cell = cell("planter-base");
    let mut draw = Pcg64Mcg::seed_from_u64(4);
    let mut counted = 0;
    for _ in 0..400 {
        let mut within = |lo: f64, hi: f64| lo + (hi - lo) * draw.random::<f64>();
        let part = Pose::planar(within(-5.0, 5.0), within(-5.0, 5.0), within(-0.1, 0.1));
        let whole = Pose::planar(within(-50.0, 50.0), within(-50.0, 50.0), within(-3.0, 3.0));
        let start = p(within(-40.0, 400.0), within(-40.0, 280.0), within(4.0, 30.0));
        let aim = p(within(0.0, 360.0), within(0.0, 240.0), within(4.0, 10.0));
        let d = (aim - start).normalize();
        cell.place_part(part);
        let here = cell.search(&start, &d, 200.0);
        cell.place_part(whole * part);
        let there = cell.search(&whole.point(&start), &whole.vector(&d), 200.0);
        let (SearchResult::Touch(a), SearchResult::Touch(b)) = (here, there) else { continue };
        if a.body != b.body || !["base plate", "liner wall"].contains(&a.body.as_str()) {
            continue;
        }
        counted += 1;
        assert!((whole.point(&a.contact) - b.contact).norm() < 1e-8, "{a:?} and {b:?}");
        assert!((whole.vector(&a.normal) - b.normal).norm() < 1e-7, "{a:?} and {b:?}");
    }
    assert!(counted > 100, "only {counted} searches met the part twice");
}
