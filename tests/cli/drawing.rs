//! `nudgeproof drawing`: outlines, parts of them, and what is refused.

use crate::command::{printed, refused, run};
use nudgeproof::cell::Part;
use nudgeproof::drawing::DrawingReport;
use std::process::Output;

fn drawing(name: &str, arguments: &[&str]) -> Output {
    run("drawing", &format!("tests/cases/drawings/{name}"), arguments)
}

#[test]
fn outlines_are_printed_in_millimetres() {
    let text = printed(&drawing("good/inch-r2018.dxf", &["--json"]));
    let read: DrawingReport = serde_json::from_str(&text).expect("JSON");
    assert_eq!((read.unit_mm, read.outlines.len()), (25.4, 2));
    let text = printed(&drawing("good/inch-r2018.dxf", &["--unit", "cm", "--json"]));
    let read: DrawingReport = serde_json::from_str(&text).expect("JSON");
    assert_eq!(read.unit_mm, 10.0);
}

#[test]
fn outlines_are_said_in_a_line_each() {
    let said = printed(&drawing("good/inch-r2018.dxf", &[]));
    assert!(said.starts_with("unit: 25.4 mm, as the file says\noutline 0: "), "{said}");
    assert_eq!(said.lines().filter(|line| line.starts_with("outline ")).count(), 2, "{said}");
}

#[test]
fn a_part_of_an_outline_has_its_holes_and_its_dimensions() {
    let arguments = ["--part", "My plate", "--set", "piece-height=20"];
    let text = printed(&drawing("good/plate-r2000.dxf", &arguments));
    let part = Part::from_toml(&text).expect("a part file");
    assert_eq!((part.title.as_str(), part.bodies[0].holes.len()), ("My plate", 2));
    assert_eq!(part.bodies[1].z[1] - part.bodies[1].z[0], 20.0);
}

#[test]
fn what_is_wrong_is_said() {
    let part = |name, more: &[&str]| drawing(name, &[&["--part", "P"], more].concat());
    refused(&drawing("numbers.json", &[]), "numbers.json: expected a DXF or SVG drawing");
    refused(
        &drawing("good/none.dxf", &[]),
        "none.dxf: expected a DXF or SVG drawing, and could not read it",
    );
    refused(&part("good/plate-r12.dxf", &[]), "it does not say its unit: give one by --unit");
    refused(&part("good/two-units-r2010.dxf", &[]), "its unit is 1 mm or 25.4 mm");
    refused(
        &part("good/plate-r2000.dxf", &["--outline", "7"]),
        "expected one of 3 closed outlines",
    );
    refused(&part("good/plate-r2000.dxf", &["--front", "900"]), "expected an edge from 0 to");
    refused(
        &part("good/plate-r2000.dxf", &["--set", "colour=red"]),
        "expected a dimension of a rail",
    );
    refused(
        &part("good/plate-r2000.dxf", &["--set", "length=9"]),
        "expected a dimension of a rail",
    );
    refused(
        &part("good/plate-r2000.dxf", &["--set", "piece-height=900"]),
        "piece-height: expected",
    );
}
