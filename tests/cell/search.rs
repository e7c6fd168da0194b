//! What a search finds in the cell.

use crate::support::assert_near;
use nudgeproof::cell::{
    AllowedContact, Bump, BumpKind, Cell, CellSettings, Contacts, ELASTIC_SPEED_MM_S, EdgeMade,
    Fault, MadeEdge, NOZZLE, Noise, Part, SearchResult, TABLE, WireContact, part_by_name,
};
use nudgeproof::geometry::{Point3, Pose, Vector3};

fn bench() -> Part {
    part_by_name("bench-side").expect("it comes with the trainer")
}

fn cell(faults: &[Fault]) -> Cell {
    Cell::new(&bench(), &CellSettings::default(), faults).expect("a sound cell")
}

#[track_caller]
fn touch(cell: &Cell, from: [f64; 3], along: [f64; 3]) -> WireContact {
    match cell.search(&from.into(), &along.into(), 30.0) {
        SearchResult::Touch(t) => t,
        other => panic!("expected a touch and found {other:?}"),
    }
}

#[track_caller]
fn near(found: Point3<f64>, expected: [f64; 3]) {
    assert_near("point", found, Point3::from(expected), 1e-9);
}

#[test]
fn the_wire_touches_with_its_side_or_its_tip() {
    let cell = cell(&[]);
    // Against the upright south face, one wire radius (0.6) before it.
    let t = touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    near(t.contact, [50.0, -0.6, 5.0]);
    near(t.torch, [50.0, -0.6, 5.0]);
    assert_eq!((t.body.as_str(), t.normal), ("side plate", -Vector3::y()), "what and where");
    assert_near("travel", t.travel, 15.4, 1e-9);
    // Down onto the top face, and beside the part onto the table.
    near(touch(&cell, [50.0, 50.0, 20.0], [0.0, 0.0, -1.0]).contact, [50.0, 50.0, 12.0]);
    let t = touch(&cell, [50.0, -50.0, 20.0], [0.0, 0.0, -1.0]);
    near(t.contact, [50.0, -50.0, 0.0]);
    assert_eq!(t.body, TABLE, "what");
    // A clamp in the way is touched like anything else, if it is low enough for the nozzle.
    let t = touch(&cell, [200.0, -90.0, 20.0], [0.0, 1.0, 0.0]);
    assert_eq!(t.body, "south stop", "what");
}

#[test]
fn a_corner_is_touched_on_the_wires_circle() {
    let cell = cell(&[]);
    // 0.3 mm beside the edge, from the south: the circle of radius 0.6 about the corner (0, 0).
    let t = touch(&cell, [-0.3, -16.0, 5.0], [0.0, 1.0, 0.0]);
    near(t.contact, [-0.3, -(0.36_f64 - 0.09).sqrt(), 5.0]);
}

#[test]
fn a_search_too_high_finds_nothing() {
    let cell = cell(&[]);
    let found = cell.search(&Point3::new(50.0, -16.0, 12.7), &Vector3::y(), 30.0);
    assert_eq!(
        found,
        SearchResult::Nothing,
        "the top face is at 12 mm, and the tip passes above it"
    );
}

#[test]
fn a_search_with_its_tip_just_below_the_top_edge_slides_up_to_it_on_its_round() {
    let cell = cell(&[]);
    // The centre of the tip's sphere is at 11.9 + 0.6, half a millimetre above the edge.
    let t = touch(&cell, [50.0, -16.0, 11.9], [0.0, 1.0, 0.0]);
    near(t.contact, [50.0, -(0.36_f64 - 0.25).sqrt(), 11.9]);
}

#[test]
fn a_wire_that_touches_already_fails_at_once() {
    let cell = cell(&[]);
    for y in [-0.6, -0.2, 30.0] {
        let found = cell.search(&Point3::new(50.0, y, 5.0), &Vector3::y(), 30.0);
        let expected = SearchResult::AlreadyTouching { body: "side plate".into() };
        assert_eq!(found, expected, "at y = {y}");
    }
}

#[test]
fn contact_follows_the_part_and_clamps_stay() {
    let mut cell = cell(&[]);
    let pose = Pose::planar(3.0, -4.0, 2.0_f64.to_radians());
    cell.place_part(pose);
    let n = pose.vector(&-Vector3::y());
    let t = touch(&cell, [50.0, -20.0, 5.0], [0.0, 1.0, 0.0]);
    assert_near("normal", t.normal, n, 1e-12);
    let on_part = pose.inverse().point(&t.contact);
    assert!((on_part.y + 0.6).abs() < 1e-9, "one radius before the face, not {}", on_part.y);
    let t = touch(&cell, [200.0, -90.0, 20.0], [0.0, 1.0, 0.0]);
    near(t.contact, [200.0, -75.6, 20.0]);
}

#[test]
fn a_bent_wire_and_another_stick_out_shift_every_touch() {
    let mut cell = cell(&[
        Fault::WireBent { bend: Vector3::new(0.5, 1.5, 0.0) },
        Fault::StickOutChanged { stick_out_mm: 18.0 },
    ]);
    let t = touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    near(t.contact, [50.5, -0.6, 2.0]);
    near(t.torch, [50.0, -2.1, 5.0]);
    cell.cut_wire(15.0);
    near(touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]).torch, [50.0, -0.6, 5.0]);
}

#[test]
fn paint_is_pressed_in_and_read_too_deep() {
    let paint = Fault::PaintedEdge {
        body: "side plate".into(),
        edge: 0,
        from_mm: 40.0,
        to_mm: 80.0,
        depth_mm: 0.8,
    };
    let cell = cell(&[paint]);
    let t = touch(&cell, [60.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    near(t.contact, [60.0, -0.6, 5.0]);
    near(t.torch, [60.0, 0.2, 5.0]);
    assert_eq!(t.pressed, Some(0.8), "as deep as the paint");
    // The wire springs back on the way out, which is no crash.
    let back = [t.torch, t.torch - Vector3::y() * 16.0];
    let met = cell.travel(&back, AllowedContact::Nothing);
    assert_eq!(met, Contacts::default(), "back out");
    for (x, y) in [(39.0, -0.6), (41.0, 0.2), (79.0, 0.2), (81.0, -0.6)] {
        near(touch(&cell, [x, -16.0, 5.0], [0.0, 1.0, 0.0]).torch, [x, y, 5.0]);
    }
}

#[test]
fn the_nozzle_may_arrive_before_the_wire() {
    let cell = cell(&[]);
    // The south stop is 30 mm high, and the nozzle, 12 mm in radius, has its rim at 5 + 15 mm.
    let SearchResult::Collision(hit) =
        cell.search(&Point3::new(200.0, -90.0, 5.0), &Vector3::y(), 30.0)
    else {
        panic!("the nozzle has no room above the stop")
    };
    assert_eq!(hit.body, "south stop", "what it meets");
    assert_near("from −90 to −75 − 12", hit.along, 3.0, 1e-9);
}

#[test]
fn a_reading_is_late_by_latency_and_half_a_scan_on_average_and_scatters() {
    // Mean and variance of v (latency + U(0, scan)) + N(0, σ): v (latency + scan / 2) and
    // (v scan)² / 12 + σ².
    let cell = cell(&[]);
    let at = touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    let (n, v) = (20_000, 20.0);
    let late: Vec<f64> = (0..n)
        .map(|i| {
            let mut noise = Noise::new(7, 1, i);
            cell.reading(&at, &Vector3::y(), v, &mut noise).y - at.torch.y
        })
        .collect();
    let mean = late.iter().sum::<f64>() / f64::from(n as u32);
    let variance = late.iter().map(|y| (y - mean) * (y - mean)).sum::<f64>() / f64::from(n as u32);
    let expected = 0.004 * v * 0.004 * v / 12.0 + 0.10 * 0.10;
    assert!(
        (mean - v * 0.007).abs() < 4.0 * (expected / f64::from(n as u32)).sqrt(),
        "mean {mean}"
    );
    assert_near("ratio of variances", variance / expected, 1.0, 0.05);
}

#[test]
fn noise_is_the_same_on_replay_and_another_in_every_search() {
    let draw = |seed, run, search| Noise::new(seed, run, search).normal();
    assert_eq!(draw(1, 2, 3), draw(1, 2, 3), "replay");
    let all = [draw(1, 2, 3), draw(2, 2, 3), draw(1, 3, 3), draw(1, 2, 4), draw(1, 3, 2)];
    for (i, a) in all.iter().enumerate() {
        assert!(all[..i].iter().all(|b| a != b), "draw {i} came twice");
    }
}

#[test]
fn noise_is_the_same_on_every_machine() {
    // The nudges of a study are drawn under the greatest number there is: 64 bits wide everywhere.
    let first = Noise::new(14, 3, u64::MAX).uniform();
    assert_eq!(first.to_bits(), 0x3fe4_6fb2_4b1e_cf67, "{first}");
}

#[test]
fn spatter_between_nozzle_and_tip_touches_at_once() {
    let cell = cell(&[Fault::SpatterBridge]);
    let t = touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    assert_eq!((t.travel, t.body.as_str()), (0.0, NOZZLE), "where the search begins");
}

#[test]
fn above_the_speed_that_the_wire_stands_it_stays_bent() {
    let cell = cell(&[]);
    let (at, d) = (Point3::new(50.0, -0.6, 5.0), Vector3::y());
    assert_eq!(cell.touch_bend(&at, &d, ELASTIC_SPEED_MM_S), Vector3::zeros(), "it springs back");
    // Distance to stop from v at a constant deceleration a: v²/2a (mechanics, from memory). From
    // 100 mm/s at 2000 mm/s² 2.5 mm, from 60 mm/s 0.9 mm; half of the difference stays.
    let bend = cell.touch_bend(&at, &d, 100.0);
    assert_near("bend", bend, Vector3::new(0.0, -0.8, 0.0), 1e-12);
}

#[test]
fn a_ball_reads_late_and_scatters_more() {
    let mut cell = cell(&[]);
    let at = touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    let spread = |cell: &Cell| {
        let all: Vec<f64> = (0..4000)
            .map(|i| {
                let mut noise = Noise::new(3, 1, i);
                cell.reading(&at, &Vector3::y(), 0.0, &mut noise).y - at.torch.y
            })
            .collect();
        let mean = all.iter().sum::<f64>() / 4000.0;
        let square = all.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / 4000.0;
        (mean, square.sqrt())
    };
    let (mean, sigma) = spread(&cell);
    assert!(mean.abs() < 0.01 && (sigma - 0.1).abs() < 0.01, "clean: {mean} ± {sigma}");
    cell.wire.ball = true;
    let (mean, sigma) = spread(&cell);
    assert!((mean - 0.4).abs() < 0.02 && (sigma - 0.2).abs() < 0.02, "ball: {mean} ± {sigma}");
}

/// The bench side with its south edge made in this way, and with this on it.
fn with_edge(made: EdgeMade, bumps: Vec<Bump>) -> Cell {
    let mut part = part_by_name("bench-side").expect("it comes with the trainer");
    part.bodies[0].edges = vec![MadeEdge { edge: 0, made }];
    part.bodies[0].bumps = bumps;
    Cell::new(&part, &CellSettings::default(), &[]).expect("a sound part")
}

#[test]
fn a_rough_edge_scatters_more_and_no_other() {
    let scatter = |cell: &Cell, from, along| touch(cell, from, along).scatter;
    for (made, times) in [
        (EdgeMade::Machined, 1.0),
        (EdgeMade::Cut, 1.5),
        (EdgeMade::Sawn, 2.5),
        (EdgeMade::Rolled, 3.0),
    ] {
        let mut cell = with_edge(made, Vec::new());
        cell.place_part(Pose::planar(3.0, -2.0, 0.02));
        assert_eq!(scatter(&cell, [50.0, -20.0, 5.0], [0.0, 1.0, 0.0]), times, "{made:?}");
        assert_eq!(scatter(&cell, [-20.0, 100.0, 5.0], [1.0, 0.0, 0.0]), 1.0, "the west edge");
        assert_eq!(scatter(&cell, [50.0, 50.0, 30.0], [0.0, 0.0, -1.0]), 1.0, "the top");
    }
}

#[test]
fn a_tack_is_met_by_the_tip_and_a_burr_by_the_wire_above_it() {
    let bump = |kind| Bump { kind, edge: 0, from_mm: 40.0, to_mm: 60.0, out_mm: 1.5 };
    for kind in [BumpKind::Tack, BumpKind::Burr] {
        let cell = with_edge(EdgeMade::Machined, vec![bump(kind)]);
        // The face is the plane y = 0, the wire 1.2 mm thick, the bump 1.5 mm out.
        let on = touch(&cell, [50.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
        assert_near("on it", on.torch.y, -2.1, 1e-9);
        assert_eq!(on.body, "side plate", "in logs it is the body");
        let beside = touch(&cell, [80.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
        assert_near("beside it", beside.torch.y, -0.6, 1e-9);
    }
}
