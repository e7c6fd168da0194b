//! Every file of `tests/cases/drawings/good`, drawn by a library that knows nothing of this project,
//! against areas and perimeters that such a library gives. Sources and versions: `make.py` and
//! `make.mjs` beside them, and `by` and `numbers_by` of each entry of `numbers.json`.

use crate::support::{file, text_of};
use nudgeproof::drawing::{CHORD_MM, Outlines, Remark, Sketch, UnitSaid, area_and_perimeter};
use nudgeproof::drawing::{read_drawing, report};
use serde::Deserialize;
use std::collections::BTreeSet;

#[derive(Debug, Deserialize)]
struct Expected {
    file: String,
    by: String,
    unit: Unit,
    outlines: Vec<Numbers>,
    open: usize,
    remarks: Vec<String>,
    gap: f64,
}

#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum Unit {
    Mm(f64),
    Said(String),
}

#[derive(Debug, Clone, Copy, Deserialize)]
struct Numbers {
    area: f64,
    perimeter: f64,
}

/// Greatest difference of an area or a perimeter, as a share: the libraries' own curves are chords.
const SHARE: f64 = 2e-5;

fn expected() -> Vec<Expected> {
    serde_json::from_str(&text_of("tests/cases/drawings/numbers.json")).expect("numbers.json")
}

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(file(&format!("tests/cases/drawings/good/{name}"))).expect(name)
}

fn sketch(name: &str) -> Sketch {
    read_drawing(&bytes(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// The outlines in the unit of the file.
fn outlines(name: &str) -> Outlines {
    sketch(name).outlines(1.0).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Kind and reason, once for each time.
fn in_short(remarks: &[Remark]) -> Vec<String> {
    let short = |remark: &Remark| {
        let why = serde_json::to_value(&remark.why).expect("a reason");
        let name = match &why {
            serde_json::Value::Object(with) => with.keys().next().expect("its name").clone(),
            other => other.as_str().expect("its name").to_owned(),
        };
        vec![format!("{}: {name}", remark.element.kind); remark.times]
    };
    let mut all: Vec<String> = remarks.iter().flat_map(short).collect();
    all.sort();
    all
}

#[test]
fn areas_and_perimeters_are_those_of_the_libraries() {
    let mut wrong = Vec::new();
    for Expected { file, by, outlines: expected, .. } in expected() {
        let mut found: Vec<(f64, f64)> = outlines(&file)
            .closed
            .iter()
            .map(|closed| area_and_perimeter(&closed.polygon(1e-6)))
            .collect();
        let mut expected: Vec<_> = expected.iter().map(|e| (e.area, e.perimeter)).collect();
        // Two of the same area may differ in length.
        let order = |(area, perimeter): &(f64, f64)| {
            ((area * 100.0).round() as i64, (perimeter * 100.0).round() as i64)
        };
        found.sort_by_key(order);
        expected.sort_by_key(order);
        let near = |a: f64, b: f64| (a - b).abs() <= SHARE * b;
        let all = found.len() == expected.len()
            && found.iter().zip(&expected).all(|(f, e)| near(f.0, e.0) && near(f.1, e.1));
        if !all {
            wrong.push(format!("{file} by {by}:\n  expected {expected:?}\n  found {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn there_are_twenty_files_and_none_without_numbers() {
    let folder = std::fs::read_dir(file("tests/cases/drawings/good")).expect("the folder");
    let files: BTreeSet<String> =
        folder.map(|f| f.expect("a file").file_name().to_string_lossy().into_owned()).collect();
    let listed: BTreeSet<String> = expected().into_iter().map(|e| e.file).collect();
    assert_eq!(files, listed);
    assert!(files.len() >= 20, "{} files", files.len());
}

#[test]
fn the_unit_is_what_the_file_says() {
    for Expected { file, unit, .. } in expected() {
        match (sketch(&file).unit, unit) {
            (UnitSaid::Mm(found), Unit::Mm(expected)) => {
                assert!((found / expected - 1.0).abs() < 1e-3, "{file}: {found} mm");
            }
            (UnitSaid::Nothing, Unit::Said(said)) => assert_eq!(said, "nothing", "{file}"),
            (UnitSaid::Contradiction(..), Unit::Said(said)) => {
                assert_eq!(said, "contradiction", "{file}");
            }
            (found, expected) => panic!("{file}: expected {expected:?}, and found {found:?}"),
        }
    }
}

#[test]
fn what_is_not_used_is_named_and_nothing_else() {
    for Expected { file, open, mut remarks, .. } in expected() {
        remarks.sort();
        let found = outlines(&file);
        assert_eq!(in_short(&found.remarks), remarks, "{file}");
        assert_eq!(found.open.len(), open, "{file}: open");
        assert!(found.remarks.iter().all(|r| r.element.line > 0), "{file}: lines");
    }
}

#[test]
fn the_largest_gap_that_was_closed_is_told() {
    for Expected { file, gap, .. } in expected() {
        let closed = outlines(&file).closed;
        let found = closed.iter().map(|c| c.0.gap_mm).fold(0.0, f64::max);
        assert!((found - gap).abs() < 1e-4, "{file}: {found}, expected {gap}");
    }
}

#[test]
fn chords_are_within_a_hundredth_of_a_millimetre() {
    for Expected { file, .. } in expected() {
        for closed in outlines(&file).closed {
            let (coarse, fine) = (closed.polygon(CHORD_MM), closed.polygon(CHORD_MM / 1000.0));
            let on = |p: kurbo::Point, a: kurbo::Point, b: kurbo::Point| {
                let chord = b - a;
                let share = ((p - a).dot(chord) / chord.hypot2()).clamp(0.0, 1.0);
                p.distance(a + chord * share)
            };
            let sides = || (0..coarse.len()).map(|i| (coarse[i], coarse[(i + 1) % coarse.len()]));
            for p in fine.iter().step_by(7) {
                let off = sides().map(|(a, b)| on(*p, a, b)).fold(f64::INFINITY, f64::min);
                assert!(off <= CHORD_MM + 1e-6, "{file}: {off} mm at {p:?}");
            }
        }
    }
}

#[test]
fn a_report_has_the_largest_outline_first_and_mm() {
    let read = report(&bytes("inch-r2018.dxf"), None).expect("a drawing");
    assert_eq!(read.unit_mm, 25.4);
    let areas: Vec<f64> = read.outlines.iter().map(|o| o.area_mm2).collect();
    assert!(areas.is_sorted_by(|a, b| a >= b) && areas.len() == 2, "{areas:?}");
    // The hole has a radius of half an inch.
    let hole = std::f64::consts::PI * 12.7 * 12.7;
    assert!((areas[1] / hole - 1.0).abs() < 1e-5, "{areas:?}");
    let again = serde_json::to_string(&read).expect("JSON");
    assert_eq!(
        serde_json::from_str::<nudgeproof::drawing::DrawingReport>(&again).expect("read"),
        read
    );
}
