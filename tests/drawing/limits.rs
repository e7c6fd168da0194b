//! Large files, and such that would become large: an error at once.

use crate::broken::{dxf, svg};
use nudgeproof::drawing::{DrawingError, Unit, report};
use std::time::{Duration, Instant};

#[track_caller]
fn refused(text: &str, expected: &str) {
    #[expect(clippy::disallowed_methods, reason = "a test may measure time")]
    let now = Instant::now;
    let start = now();
    let found = report(text.as_bytes(), Some(Unit::Mm));
    assert!(matches!(found, Err(DrawingError::TooMuch(_) | DrawingError::Xml(_))), "{found:?}");
    let said = found.expect_err("refused").to_string();
    assert!(said.contains(expected), "expected {expected:?}, and found {said:?}");
    // On a loaded machine, without optimisation: what would hang takes hours.
    assert!(now().duration_since(start) < Duration::from_secs(60), "{said} took long");
}

#[test]
fn more_than_a_drawing_holds() {
    let line = |i: usize| format!("0\nLINE\n10\n{i}\n20\n0\n11\n{i}\n21\n1\n");
    let many: String = (0..50_001).map(line).collect();
    refused(&dxf(&many), "a drawing holds at most 50000");
    refused(&svg(&"<g/>".repeat(50_001)), "a drawing holds at most 50000 elements");
    refused(&svg(&format!("<path d=\"M0 0{}\"/>", "h1v1".repeat(26_000))), "50000 lines, arcs");
    refused(&svg(&"<!-- -->".repeat(200_001)), "50000 elements");
}

#[test]
fn too_deep() {
    let deep = |n| svg(&format!("{}<path d=\"M0 0h1\"/>{}", "<g>".repeat(n), "</g>".repeat(n)));
    assert!(report(deep(60).as_bytes(), None).is_ok(), "sixty are fine");
    refused(&deep(65), "64 groups or blocks within each other");
    refused(&deep(40_000), "64 groups or blocks within each other");
    refused(&deep(40_000).replace("<g>", "<a>").replace("</g>", "</a>"), "within each other");
}

/// Ten copies of ten copies, and so on: in SVG, in DXF, and as names in XML.
#[test]
fn copies_of_copies() {
    let mut text = "<g id=\"g0\"><path d=\"M0 0h1\"/></g>".to_owned();
    for i in 1..12 {
        let uses = format!("<use href=\"#g{}\"/>", i - 1).repeat(10);
        text.extend([&format!("<g id=\"g{i}\">"), uses.as_str(), "</g>"]);
    }
    refused(&svg(&text), "50000");
    let mut blocks =
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB0\n0\nLINE\n10\n0\n20\n0\n11\n1\n21\n0\n0\nENDBLK\n"
            .to_owned();
    for i in 1..12 {
        let inserts = format!("0\nINSERT\n2\nB{}\n10\n0\n20\n0\n", i - 1).repeat(10);
        blocks.extend([&format!("0\nBLOCK\n2\nB{i}\n"), inserts.as_str(), "0\nENDBLK\n"]);
    }
    let text = blocks + "0\nENDSEC\n" + &dxf("0\nINSERT\n2\nB11\n10\n0\n20\n0\n");
    refused(&text, "50000");
    let grid = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n0\nENDBLK\n0\nENDSEC\n".to_owned()
        + &dxf("0\nINSERT\n2\nB\n10\n0\n20\n0\n70\n32000\n71\n32000\n");
    refused(&grid, "50000");
    let mut names = "<!ENTITY a0 \"ha\">".to_owned();
    for i in 1..9 {
        let inner = format!("&a{};", i - 1).repeat(10);
        names.extend([&format!("<!ENTITY a{i} \""), inner.as_str(), "\">"]);
    }
    let laughs = format!("<!DOCTYPE svg [{names}]>{}", svg("<text>&a8;</text>"));
    refused(&laughs, "entity");
}

/// A star of lines whose ends all lie together: every pair would be looked at.
#[test]
fn many_ends_in_one_place() {
    let line = |i: usize| format!("0\nLINE\n10\n0\n20\n0\n11\n{i}\n21\n5\n");
    let star: String = (1..9_000).map(line).collect();
    refused(&dxf(&star), "pairs of line ends that lie together");
}
