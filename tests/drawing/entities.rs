//! What becomes of single elements, by hand.

use crate::broken::{dxf, svg};
use nudgeproof::drawing::{DrawingReport, Unit, report};
use std::f64::consts::PI;

fn read(text: &str) -> DrawingReport {
    report(text.as_bytes(), Some(Unit::Mm)).unwrap_or_else(|e| panic!("{e} in {text}"))
}

#[track_caller]
fn check(text: &str, expected: &[(f64, f64)]) {
    let found = read(text);
    let numbers: Vec<_> = found.outlines.iter().map(|o| (o.area_mm2, o.perimeter_mm)).collect();
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-5 * b;
    let same = numbers.len() == expected.len()
        && numbers.iter().zip(expected).all(|(f, e)| near(f.0, e.0) && near(f.1, e.1));
    assert!(same, "expected {expected:?}, and found {numbers:?}; {:?}", found.remarks);
}

fn line(x1: f64, y1: f64, x2: f64, y2: f64) -> String {
    format!("0\nLINE\n8\n0\n10\n{x1}\n20\n{y1}\n11\n{x2}\n21\n{y2}\n")
}

/// A square of loose lines in any order and direction, with its corners `gap` apart.
fn square(gap: f64) -> String {
    line(gap, 0.0, 10.0, 0.0)
        + &line(10.0, 10.0, 10.0, gap)
        + &line(0.0, 10.0, 0.0, 0.0)
        + &line(10.0 - gap, 10.0, 0.0, 10.0)
}

#[test]
fn loose_lines_are_joined_up_to_a_tenth_of_a_millimetre() {
    let joined = read(&dxf(&square(0.09)));
    assert_eq!(joined.outlines.len(), 1, "{joined:?}");
    assert!((joined.outlines[0].gap_mm - 0.09).abs() < 1e-9, "{joined:?}");
    let apart = read(&dxf(&square(0.2)));
    assert!(apart.outlines.is_empty() && apart.open.len() == 3, "{apart:?}");
    let open = read(&dxf(&(line(0.0, 0.0, 8.0, 0.0) + &line(8.0, 0.0, 8.0, 6.0))));
    assert!((open.open[0].open_by_mm - 10.0).abs() < 1e-9, "{open:?}");
}

/// The unit decides what a gap is.
#[test]
fn a_gap_is_measured_in_millimetres() {
    let text = dxf(&square(0.09));
    let inches = report(text.as_bytes(), Some(Unit::Inch)).expect("a drawing");
    assert!(inches.outlines.is_empty(), "a gap of 2.3 mm: {inches:?}");
}

#[test]
fn a_line_drawn_twice_counts_once() {
    let found = read(&dxf(&(square(0.0) + &line(10.0, 0.0, 0.0, 0.0))));
    assert_eq!(found.outlines.len(), 1, "{found:?}");
    assert!(found.remarks[0].why.to_string().contains("twice"), "{found:?}");
}

#[test]
fn where_three_lines_meet_is_told() {
    let found = read(&dxf(&(square(0.0) + &line(10.0, 10.0, 20.0, 20.0))));
    assert_eq!(found.forks, [[10.0, 10.0]], "{found:?}");
    assert_eq!(found.outlines.len() + found.open.len(), 2, "{found:?}");
}

#[test]
fn lines_shorter_than_a_gap_do_not_close_themselves() {
    let chain = (0..40).fold(String::new(), |text, i| {
        let t = |i: i32| {
            (
                10.0 * libm::cos(f64::from(i) * PI / 2000.0),
                10.0 * libm::sin(f64::from(i) * PI / 2000.0),
            )
        };
        let ((x1, y1), (x2, y2)) = (t(i), t(i + 1));
        text + &line(x1, y1, x2, y2)
    });
    let found = read(&dxf(&chain));
    assert_eq!((found.outlines.len(), found.open.len()), (0, 1), "{found:?}");
}

/// A semicircle as a bulge of 1, and the same from below.
#[test]
fn bulges_are_arcs_to_the_right_of_their_way() {
    let text = "0\nLWPOLYLINE\n70\n1\n10\n0\n20\n0\n42\n1\n10\n20\n20\n0\n";
    check(&dxf(text), &[(50.0 * PI, 20.0 + 10.0 * PI)]);
    let corners = &read(&dxf(text)).outlines[0].corners;
    assert!(corners.iter().all(|[_, y]| *y <= 1e-9), "below the line: {corners:?}");
    let mirrored = read(&dxf(&(text.to_owned() + "230\n-1\n")));
    let corners = &mirrored.outlines[0].corners;
    assert!(corners.iter().all(|[x, y]| *x <= 1e-9 && *y <= 1e-9), "{corners:?}");
}

#[test]
fn svg_shapes_are_exact() {
    check(&svg("<circle cx=\"50\" cy=\"50\" r=\"20\"/>"), &[(400.0 * PI, 40.0 * PI)]);
    check(&svg("<circle cx=\"5cm\" r=\"20%\"/>"), &[(400.0 * PI, 40.0 * PI)]);
    check(
        &svg("<rect width=\"30\" height=\"20\" rx=\"5\"/>"),
        &[(600.0 - 100.0 + 25.0 * PI, 60.0 + 10.0 * PI)],
    );
    check(&svg("<path d=\"M10 0A10 10 0 0 1 -10 0z\"/>"), &[(50.0 * PI, 20.0 + 10.0 * PI)]);
    check(&svg("<path d=\"M0 0h10v10h-10zm20 0h5v5h-5z\"/>"), &[(100.0, 40.0), (25.0, 20.0)]);
    check(
        &svg("<g transform=\"scale(2)\"><svg viewBox=\"0 0 10 10\" width=\"20\" height=\"40\">\
                <rect width=\"5\" height=\"5\"/></svg></g>"),
        &[(400.0, 80.0)],
    );
}

/// What points down in SVG points up on the plan.
#[test]
fn svg_is_not_mirrored() {
    let found = read(&svg("<polygon points=\"0 0 30 0 0 -10\"/>"));
    let corners = &found.outlines[0].corners;
    assert!(corners.contains(&[0.0, 10.0]), "{corners:?}");
}

#[test]
fn hidden_elements_are_named() {
    let found = read(&svg(
        "<rect width=\"9\" height=\"9\"/><g id=\"old\" display=\"none\"><circle id=\"c\" r=\"4\"/></g>\
         <g visibility=\"hidden\"><circle r=\"5\"/><circle r=\"6\" visibility=\"visible\"/></g>\
         <text>words</text><style>.a { display: none }</style><rect width=\"2\" height=\"2\" clip-path=\"url(#k)\"/>",
    ));
    let said: Vec<String> =
        found.remarks.iter().map(|r| format!("{}: {}", r.element, r.why)).collect();
    assert_eq!(
        said,
        [
            "circle, line 2: it is hidden",
            "circle c, layer \"old\", line 2: it is hidden",
            "rect, line 2: it is used whole: what hides a part of it is not applied",
            "style, line 2: its rules that hide or move elements are not applied",
            "text, line 2: text has no outline",
        ]
    );
    assert_eq!(found.outlines.len(), 3, "{found:?}");
}

/// A letter of a layer's name in an older encoding costs nothing but the letter.
#[test]
fn other_encodings_are_read() {
    let mut bytes = dxf(&square(0.0)).into_bytes();
    bytes.splice(4 + 12..4 + 12, *b"999\n\xe4\xf6\n");
    let text = dxf(&square(0.0)).replace("8\n0\n", "8\nk\u{e4}\n");
    let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
    let found = report(&latin, Some(Unit::Mm)).expect("a drawing");
    assert!(found.outlines[0].element.contains("k\u{e4}"), "{found:?}");
}

/// A slot of 20 by 10 with round ends, turned by 30° within a block that is stretched to 1.5 and 0.75: its
/// sides are 20 · (1.5 cos 30°, 0.75 sin 30°) long, its ends together an ellipse of half axes 7.5 and 3.75.
#[test]
fn blocks_within_stretched_blocks_are_sheared() {
    let slot = "0\nBLOCK\n2\nSLOT\n0\nLWPOLYLINE\n70\n1\n10\n0\n20\n0\n10\n20\n20\n0\n42\n1\n10\n20\n20\n10\n\
                10\n0\n20\n10\n42\n1\n0\nENDBLK\n";
    let turned = "0\nBLOCK\n2\nTURNED\n0\nINSERT\n2\nslot\n10\n7\n20\n0\n50\n30\n0\nENDBLK\n";
    let stretched = "0\nINSERT\n2\nTURNED\n10\n0\n20\n0\n41\n1.5\n42\n0.75\n";
    let text = format!("0\nSECTION\n2\nBLOCKS\n{slot}{turned}0\nENDSEC\n") + &dxf(stretched);
    let side = libm::hypot(30.0 * libm::cos(PI / 6.0), 15.0 * libm::sin(PI / 6.0));
    let (a, b) = (7.5_f64, 3.75_f64);
    let h = ((a - b) / (a + b)) * ((a - b) / (a + b));
    // Series for the circumference of an ellipse; the next term is below a millionth (from memory).
    let around = PI * (a + b) * (1.0 + h / 4.0 + h * h / 64.0 + h * h * h / 256.0);
    let area = 1.5 * 0.75 * (200.0 + 25.0 * PI);
    check(&text, &[(area, 2.0 * side + around)]);
}
