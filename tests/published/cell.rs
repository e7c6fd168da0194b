//! Published values that bear on the cell.

use crate::support::{assert_near, text_of};
use crate::{assert_published, check, numbers};
use nudgeproof::cell::{Cell, CellSettings, Fault, Part, SearchResult, part_by_name};
use nudgeproof::geometry::{Point2, Point3, Vector3};
use serde_json::Value;

/// The entries recomputed here.
pub(crate) const IDS: &[&str] = &[ANGLES];

const ANGLES: &str = "iso13920-angles";

const CLASSES: [&str; 4] = ["A", "B", "C", "D"];

/// What a class allows on a leg of the first column, up to 400 mm, degrees.
fn allowed(check: &Value, class: &str) -> f64 {
    numbers(&check["given"]["minutes"][class])[0] / 60.0
}

/// By how much an edge that should run along Y runs to the side, mm in 1 m: felt at two heights of the
/// plan, searching along X.
fn lean_mm_per_m(cell: &Cell, y: [f64; 2]) -> f64 {
    let felt = y.map(|y| match cell.search(&Point3::new(-20.0, y, 5.0), &Vector3::x(), 30.0) {
        SearchResult::Touch(touch) => touch.contact.x,
        other => panic!("expected a touch and found {other:?}"),
    });
    (felt[0] - felt[1]) / (y[1] - y[0]) * 1000.0
}

fn cell(part: &Part, faults: &[Fault]) -> Cell {
    Cell::new(part, &CellSettings::default(), faults).expect("a sound cell")
}

/// Length of the shorter side of the first body's outline, mm: its leg.
fn shorter_leg(part: &Part) -> f64 {
    let corners = &part.bodies[0].outline.corners;
    let span = |of: fn(Point2<f64>) -> f64| {
        let all = corners.iter().map(|c| of(c.at));
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    };
    span(|p| p.x).min(span(|p| p.y))
}

/// Source: ISO 13920, Table 2 (no edition known): the same tolerances in minutes and in mm/m.
#[test]
fn a_part_out_of_square_leans_as_its_class_says() {
    let check = check(ANGLES);
    let part = part_by_name("bench-side").expect("it comes with the program");
    let mut found = Vec::new();
    for class in CLASSES {
        for minutes in numbers(&check["given"]["minutes"][class]) {
            let leaning = cell(&part, &[Fault::OutOfSquare { lean_deg: minutes / 60.0 }]);
            found.push(lean_mm_per_m(&leaning, [35.0, 215.0]));
        }
    }
    assert_published(&check, &found);
    assert_near("drawn square", lean_mm_per_m(&cell(&part, &[]), [35.0, 215.0]), 0.0, 1e-9);
}

/// The door that is out of square by drawing has the greatest angle of class D.
#[test]
fn the_crooked_door_is_just_within_class_d() {
    let check = check(ANGLES);
    let door = part_by_name("bin-door").expect("it comes with the program");
    assert!(shorter_leg(&door) <= 400.0, "the first column counts");
    let lean = lean_mm_per_m(&cell(&door, &[]), [30.0, 190.0]);
    let limit = libm::tan(allowed(&check, "D").to_radians()) * 1000.0;
    // Its corners are drawn to a micrometre.
    assert_near("lean of its west edge, mm/m", lean, limit, 0.001 / 0.22);
}

/// The part that a drill leans is bad work, but not absurd: always past class A, and within class D.
/// The least is within class B, the greatest past class C.
#[test]
fn the_drill_leans_a_part_by_less_than_class_d() {
    let check = check(ANGLES);
    let lesson: toml::Table =
        text_of("lessons/when-it-goes-wrong.toml").parse().expect("a lesson is TOML");
    let causes = lesson["causes"].as_array().expect("causes");
    let leans = causes.iter().find(|c| c["cause"].as_str() == Some("out-of-square"));
    let lean =
        |i: usize| leans.expect("the drill has it")["lean_deg"][i].as_float().expect("degrees");
    let (least, greatest) = (lean(0), lean(1));
    assert!(allowed(&check, "A") < least && least <= allowed(&check, "B"), "{least}°");
    assert!(allowed(&check, "C") < greatest && greatest <= allowed(&check, "D"), "{greatest}°");
    let others = lesson["other_parts"].as_array().expect("other parts");
    for name in std::iter::once(&lesson["part"]).chain(others) {
        let part = part_by_name(name.as_str().expect("a name")).expect("it comes with the program");
        assert!(shorter_leg(&part) <= 400.0, "{}: the first column counts", part.name);
    }
}
