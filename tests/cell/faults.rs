//! What each planted fault does in the cell.

use crate::support::assert_near;
use nudgeproof::cell::{
    AllowedContact, Cell, CellSettings, Contacts, EdgeMade, Fault, SearchResult, held_back_parts,
    part_by_name, parts,
};
use nudgeproof::geometry::{Point3, Pose, Vector3};

fn cell(faults: &[Fault]) -> Cell {
    let part = part_by_name("bench-side").expect("it comes with the trainer");
    Cell::new(&part, &CellSettings::default(), faults).expect("a sound cell")
}

fn contact(cell: &Cell, from: [f64; 3], along: [f64; 3]) -> Point3<f64> {
    match cell.search(&from.into(), &along.into(), 30.0) {
        SearchResult::Touch(t) => t.contact,
        other => panic!("expected a touch and found {other:?}"),
    }
}

#[test]
fn a_part_out_of_square_leans_with_all_that_is_on_it() {
    let lean = 0.5_f64.to_radians();
    let cell = cell(&[Fault::OutOfSquare { lean_deg: 0.5 }]);
    // The west face runs through (0, 0) and leans counter-clockwise, so to the west as y grows;
    // the wire's circle touches it one radius off, along its normal.
    let c = contact(&cell, [-16.0, 215.0, 5.0], [1.0, 0.0, 0.0]);
    assert_near("x", c.x, -215.0 * libm::tan(lean) - 0.6 / libm::cos(lean), 1e-9);
    let c = contact(&cell, [350.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    assert_near("the south face is where it was", c.y, -0.6, 1e-9);
    let seam = cell.seam_in_work(&cell.seams()[0]);
    assert_near("its seam leans with it", seam.from.x, 80.0 - 160.0 * libm::tan(lean), 1e-12);
    assert_eq!(cell.part().seams[0].from.x, 80.0, "the drawing knows nothing of it");
}

#[test]
fn every_part_can_be_out_of_square_either_way() {
    for part in parts().into_iter().chain(held_back_parts()) {
        for lean_deg in [-2.0, -0.5, 0.5, 2.0] {
            let cell =
                Cell::new(&part, &CellSettings::default(), &[Fault::OutOfSquare { lean_deg }]);
            assert!(cell.is_ok(), "{}, {lean_deg}°: {:?}", part.name, cell.err());
        }
    }
}

#[test]
fn a_moved_clamp_stands_in_the_way() {
    let path = [Point3::new(10.0, -30.0, 5.0), Point3::new(150.0, -30.0, 5.0)];
    let met = cell(&[]).travel(&path, AllowedContact::Nothing);
    assert_eq!(met, Contacts::default(), "where it belongs");
    let moved = Fault::ClampMoved { clamp: "south stop".into(), dx: -60.0, dy: 15.0 };
    let met = cell(&[moved]).travel(&path, AllowedContact::Nothing);
    assert_eq!(met.nozzle.expect("in the way").body, "south stop", "what");
}

#[test]
fn a_wrong_part_lies_where_the_right_one_was_drawn() {
    let cell = cell(&[Fault::WrongPart { part: "bench-side-short".into() }]);
    let c = contact(&cell, [390.0, 60.0, 5.0], [-1.0, 0.0, 0.0]);
    assert_near("20 mm shorter", c.x, 380.6, 1e-9);
    assert_eq!(cell.seams()[0].from.y, 152.0, "its seam is its own");
    assert_eq!(cell.part().name, "bench-side", "the drawing knows nothing of it");
    assert_eq!(cell.true_part().clamps, cell.part().clamps, "the fixture is the same");
}

#[test]
fn a_seam_miss_is_resolved_along_the_seam_as_it_lies() {
    let mut cell = cell(&[]);
    let pose = Pose::new(Vector3::new(4.0, -3.0, 2.0), Vector3::new(0.02, -0.03, 0.2));
    cell.place_part(pose);
    let seam = &cell.seams()[0];
    let line = cell.seam_in_work(seam);
    // Half a millimetre into the plate, 0.2 above, 1.5 past either end, in part coordinates.
    let wire = [
        pose.point(&(seam.from + Vector3::new(-1.5, 0.5, 0.2))),
        pose.point(&(seam.to + Vector3::new(1.5, -0.4, 0.2))),
    ];
    let miss = line.weld_miss(wire, true);
    // The torch leans 45° away from the plate, so 0.5 across and 0.2 up are 0.7 · sin 45° beside the
    // wire, and along it 0.2 − 0.5 times the same.
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let numbers = miss.map(|m| [m.across_mm, m.standoff_mm, m.height_mm, m.along_mm]);
    let start = [0.7 * half, -0.3 * half, 0.2, -1.5];
    let end = [-0.2 * half, 0.6 * half, 0.2, 1.5];
    let near = |a: [[f64; 4]; 2], b: [[f64; 4]; 2]| {
        a.iter().flatten().zip(b.iter().flatten()).all(|(x, y)| (x - y).abs() < 1e-9)
    };
    assert!(near(numbers, [start, end]), "{numbers:?}");
    // Welded the other way round: the same across, along in the direction of travel.
    let back = line.weld_miss([wire[1], wire[0]], false);
    let numbers = back.map(|m| [m.across_mm, m.standoff_mm, m.height_mm, m.along_mm]);
    let turned = [[end[0], end[1], end[2], -1.5], [start[0], start[1], start[2], 1.5]];
    assert!(near(numbers, turned), "{numbers:?}");
}

#[test]
fn a_height_error_counts_as_the_work_angle_lets_it() {
    // 1.5 mm too high at a work angle of 45° is 1.06 mm beside the seam: sin 45° of it (AWS A3.0 for
    // the angle; trigonometry).
    let mut part = part_by_name("bench-side").expect("it comes with the trainer");
    for (angle, beside, further) in [(45.0, 1.06, 1.06), (60.0, 1.30, 0.75), (0.0, 0.0, 1.5)] {
        part.seams[0].work_angle_deg = Some(angle);
        let cell = Cell::new(&part, &CellSettings::default(), &[]).expect("a sound cell");
        let seam = &cell.seams()[0];
        let miss = cell.seam_in_work(seam).miss(&(seam.from + Vector3::z() * 1.5));
        assert_near("beside", miss.across_mm, beside, 0.005);
        assert_near("tip to work", miss.standoff_mm, further, 0.005);
        assert_eq!(miss.lands(0.6), angle == 0.0, "at {angle}°");
    }
}

#[test]
fn a_rough_edge_scatters_more_where_it_is_rough() {
    let rough = Fault::RoughEdge { body: "side plate".into(), edge: 0, made: EdgeMade::Rolled };
    let touch = |cell: &Cell, from: [f64; 3], along: [f64; 3]| match cell.search(
        &from.into(),
        &along.into(),
        30.0,
    ) {
        SearchResult::Touch(t) => (t.scatter, t.travel),
        other => panic!("expected a touch and found {other:?}"),
    };
    let (south, west) =
        (([350.0, -16.0, 5.0], [0.0, 1.0, 0.0]), ([-16.0, 35.0, 5.0], [1.0, 0.0, 0.0]));
    let (sound, rough) = (cell(&[]), cell(&[rough]));
    assert_eq!(touch(&rough, south.0, south.1), (EdgeMade::Rolled.scatter(), 15.4), "three times");
    assert_eq!(touch(&sound, south.0, south.1), (1.0, 15.4), "at the same place");
    assert_eq!(touch(&rough, west.0, west.1), touch(&sound, west.0, west.1), "another edge");
}

#[test]
fn a_loose_upright_takes_its_seam_along_and_leaves_the_base() {
    let loose = Fault::LooseUpright { body: "seat rail".into(), dx: 0.5, dy: 2.0 };
    let (sound, loose) = (cell(&[]), cell(&[loose]));
    let by = loose.seams()[0].from - sound.seams()[0].from;
    assert_eq!([by.x, by.y, by.z], [0.5, 2.0, 0.0], "the seam at its foot");
    let south = |c: &Cell| contact(c, [350.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    assert_eq!(south(&loose), south(&sound), "no touch on the base notices");
    let rail = |c: &Cell| contact(c, [200.0, 140.0, 18.0], [0.0, 1.0, 0.0]);
    assert_near("the rail", rail(&loose).y - rail(&sound).y, 2.0, 1e-9);
    assert_eq!(loose.part().seams[0].from.y, 160.0, "the drawing knows nothing of it");
}

#[test]
fn an_untrimmed_wire_reads_later_and_scatters_more() {
    let cell = cell(&[Fault::UntrimmedWire { stick_out_mm: 16.5 }]);
    assert!(cell.wire.ball, "a ball at its end");
    assert_eq!(cell.wire.stick_out_mm, 16.5, "and too long");
    // From the side its length changes nothing.
    let c = contact(&cell, [350.0, -16.0, 5.0], [0.0, 1.0, 0.0]);
    assert_near("the true contact", c.y, -0.6, 1e-9);
}

#[test]
fn in_a_worn_tip_the_wire_stands_elsewhere_in_each_run() {
    let worn = Fault::TipWorn { wear_mm: 1.0 };
    let all: Vec<f64> =
        (1..=2000).map(|run| worn.tip_bend(7, run).expect("it is worn").x).collect();
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let spread =
        (all.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / all.len() as f64).sqrt();
    // Standard error of a mean of 2000: 1/√2000 = 0.022; of a standard deviation 1/√4000 = 0.016.
    assert_near("about the axis", mean, 0.0, 4.0 * 0.022);
    assert_near("by the wear", spread, 1.0, 4.0 * 0.016);
    assert_eq!(Fault::WorkLeadOff.tip_bend(7, 1), None, "no other fault does that");
}
