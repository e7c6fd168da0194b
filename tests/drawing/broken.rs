//! Broken files: each ends with one clear sentence, at once; none panics or hangs.

use nudgeproof::drawing::{Unit, report};

/// A DXF file of these lines of entities.
pub(crate) fn dxf(entities: &str) -> String {
    format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n")
}

/// An SVG file of these elements, a unit of which is a millimetre.
pub(crate) fn svg(elements: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">\n{elements}\n</svg>"
    )
}

const LINE: &str = "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n1\n21\n0\n";

/// The sentence that a file ends with: an error, or, where nothing else is in it, the reason of its
/// first remark.
fn sentence(bytes: &[u8]) -> String {
    match report(bytes, Some(Unit::Mm)) {
        Err(e) => e.to_string(),
        Ok(read) => {
            let first = read.remarks.first().expect("an error or a remark");
            format!("{}: {}", first.element, first.why)
        }
    }
}

#[test]
fn fifty_broken_files_each_say_what_is_wrong() {
    let whole = dxf(LINE);
    let cut = |at: usize| whole.as_bytes()[..at].to_vec();
    let lone = |one: &str| dxf(&format!("{LINE}{one}")).into_bytes();
    let alone = |one: &str| svg(&format!("<path d=\"M0 0H9V9Z\"/>{one}")).into_bytes();
    let lines = |lines: &str| lines.replace(' ', "\n").into_bytes();
    let cases: Vec<(Vec<u8>, &str)> = vec![
        // Not a drawing at all.
        (vec![], "the file is empty"),
        (b"  \n \n".to_vec(), "the file is empty"),
        (b"hello".to_vec(), "found neither: a DXF begins with a number"),
        (b"%PDF-1.7".to_vec(), "found a PDF"),
        (b"AC1032\0\0".to_vec(), "found a DWG"),
        (b"A Binary DXF\r\n\x1a\0".to_vec(), "found a binary DXF"),
        (b"PK\x03\x04....".to_vec(), "found a packed file"),
        (b"\x1f\x8b\x08....".to_vec(), "found a packed file"),
        (b"\x89PNG\r\n".to_vec(), "found a picture"),
        (b"\xff\xfe<\0s\0".to_vec(), "found text in UTF-16"),
        (vec![b' '; 17 * 1024 * 1024], "a drawing file holds at most 16384 KiB"),
        // DXF: the file.
        (b"0".to_vec(), "cut off"),
        (lines("0 SECTION 2 ENTITIES"), "cut off"),
        (cut(whole.len() - 20), "cut off"),
        (cut(40), "cut off"),
        (lines("12 3"), "line 1: expected group code 0 first, and found 12"),
        (lines("0 EOF"), "no section ENTITIES"),
        (lines("0 LINE 0 EOF"), "line 2: expected SECTION, or EOF at the end, and found \"LINE\""),
        (lines("0 ENDSEC 0 EOF"), "line 2: expected SECTION, or EOF at the end"),
        (lines("0 SECTION 0 ENDSEC"), "line 2: expected the name of the section"),
        (lines("0 SECTION 2 ENTITIES 0 SECTION 2 BLOCKS"), "line 6: expected ENDSEC"),
        (lines("0 SECTION 2 ENTITIES 0 EOF"), "line 6: expected ENDSEC"),
        (
            lines("0 SECTION 2 ENTITIES x LINE"),
            "line 5: expected a group code, a whole number, and found \"x\"",
        ),
        (lines("0 SECTION 2 ENTITIES 0 ENDSEC 0 EOF"), "holds no line, arc or curve"),
        (dxf("").replace("ENTITIES", "OBJECTS").into_bytes(), "no section ENTITIES"),
        // DXF: one entity.
        (
            lone("0\nLINE\n8\n0\n10\nx\n20\n0\n11\n1\n21\n0\n"),
            "line 22: expected a number, and found \"x\"",
        ),
        (
            lone("0\nLINE\n8\n0\n10\nnan\n20\n0\n11\n1\n21\n0\n"),
            "expected a number, and found \"nan\"",
        ),
        (
            lone("0\nLINE\n8\n0\n10\n1e300\n20\n0\n11\n1\n21\n0\n"),
            "expected a number, and found \"1e300\"",
        ),
        (lone("0\nLINE\n8\n0\n10\n0\n20\n0\n"), "it has no group 11"),
        (lone("0\nCIRCLE\n10\n0\n20\n0\n40\n-3\n"), "expected a positive radius, and found -3"),
        (lone("0\nCIRCLE\n10\n0\n20\n0\n"), "it has no group 40"),
        (
            lone("0\nARC\n10\n0\n20\n0\n40\n0\n50\n0\n51\n90\n"),
            "expected a positive radius, and found 0",
        ),
        (lone("0\nLWPOLYLINE\n42\n1\n10\n0\n20\n0\n10\n5\n20\n5\n"), "expected group 10 first"),
        (
            lone("0\nLWPOLYLINE\n90\n4\n10\n0\n20\n0\n10\n5\n20\n5\n"),
            "expected 4 vertices, and found 2",
        ),
        (lone("0\nLWPOLYLINE\n90\n1\n10\n0\n20\n0\n"), "it has no length"),
        (lone("0\nPOLYLINE\n66\n1\n0\nSEQEND\n"), "it has no length"),
        (lone("0\nELLIPSE\n10\n0\n20\n0\n11\n5\n21\n0\n40\n0\n"), "expected a positive radius"),
        (
            lone("0\nSPLINE\n71\n3\n10\n0\n20\n0\n"),
            "expected more than 3 control points, and found 1",
        ),
        (lone("0\nSPLINE\n71\n0\n"), "expected a degree of 1 to 15, and found 0"),
        (
            lone("0\nSPLINE\n71\n1\n40\n0\n40\n0\n10\n0\n20\n0\n10\n1\n20\n0\n"),
            "expected 4 knots, and found 2",
        ),
        (
            lone("0\nSPLINE\n71\n1\n40\n0\n40\n2\n40\n1\n40\n3\n10\n0\n20\n0\n10\n1\n20\n0\n"),
            "expected knots that never fall",
        ),
        (
            lone("0\nSPLINE\n71\n1\n40\n0\n40\n0\n40\n0\n40\n0\n10\n0\n20\n0\n10\n1\n20\n0\n"),
            "all knots are the same",
        ),
        (
            lone(
                "0\nSPLINE\n71\n1\n40\n0\n40\n0\n40\n1\n40\n1\n41\n1\n41\n-1\n10\n0\n20\n0\n10\n1\n20\n0\n",
            ),
            "expected positive weights",
        ),
        (
            lone("0\nINSERT\n2\nGHOST\n10\n0\n20\n0\n"),
            "it places \"GHOST\", which is not in this file",
        ),
        (lone("0\nINSERT\n10\n0\n20\n0\n"), "it has no group 2"),
        // SVG: the file.
        (b"<svg".to_vec(), "not XML"),
        (b"<svg></svg>".to_vec(), "expected an element svg"),
        (b"<html xmlns=\"http://www.w3.org/1999/xhtml\"/>".to_vec(), "found html of http"),
        (b"<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0\"></svg>".to_vec(), "not XML"),
        (b"<svg xmlns=\"http://www.w3.org/2000/svg\" a=\"1\" a=\"2\"/>".to_vec(), "not XML"),
        (
            b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 x\"/>".to_vec(),
            "viewBox: expected four numbers",
        ),
        (
            b"<svg xmlns=\"http://www.w3.org/2000/svg\">\xff</svg>".to_vec(),
            "text that is not UTF-8",
        ),
        (svg("").into_bytes(), "holds no line, arc or curve"),
        (svg("&nothing;").into_bytes(), "not XML"),
        // SVG: one element.
        (alone("<path d=\"M0 0 L5\"/>"), "cannot be read: d:"),
        (alone("<path d=\"5 5 L5 5\"/>"), "cannot be read: d:"),
        (alone("<path d=\"M5 5\"/>"), "it has no length"),
        (alone("<path/>"), "it has no length"),
        (alone("<circle r=\"-1\"/>"), "r: expected no negative length"),
        (alone("<circle r=\"wide\"/>"), "r: expected a length, and found \"wide\""),
        (alone("<circle r=\"2em\"/>"), "r: lengths by the size of letters are not read"),
        (alone("<rect width=\"5\"/>"), "it has no length"),
        (
            alone("<polygon points=\"0 0 1 1 2\"/>"),
            "expected an even count of numbers, and found 5",
        ),
        (alone("<polygon points=\"0 0 1 b\"/>"), "points:"),
        (alone("<g transform=\"turn(30)\"><path d=\"M0 0H4\"/></g>"), "transform:"),
        (
            alone("<g transform=\"scale(1e300)\"><path d=\"M0 0H4\"/></g>"),
            "transform: a number in it is out of range",
        ),
        (alone("<g style=\"transform: rotate(3deg)\"/>"), "style: a transform there is not read"),
        (alone("<use xlink:href=\"#ghost\"/>"), "it places \"#ghost\", which is not in this file"),
        (
            alone("<g id=\"a\"><use href=\"#a\"/></g>"),
            "it places \"#a\", which holds this element itself",
        ),
    ];
    assert!(cases.len() >= 50, "{} cases", cases.len());
    let mut wrong = Vec::new();
    for (bytes, expected) in &cases {
        let found = sentence(bytes);
        if !found.contains(expected) {
            wrong.push(format!("expected {expected:?}, and found {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Every file of `good`, cut short and with bytes changed: an answer, whatever it is, and no panic.
#[test]
fn damaged_files_are_answered() {
    use rand::{RngExt, SeedableRng};
    let folder = crate::support::file("tests/cases/drawings/good");
    let mut random = rand_pcg::Pcg64::seed_from_u64(17);
    let rounds: usize = std::env::var("DAMAGED").ok().and_then(|n| n.parse().ok()).unwrap_or(12);
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("files").map(|f| f.expect("a file").path()).collect();
    files.sort();
    let mut read = 0;
    for path in files {
        let whole = std::fs::read(&path).expect("a file");
        for _ in 0..rounds {
            let mut bytes = whole.clone();
            for _ in 0..random.random_range(1..12) {
                let at = random.random_range(0..bytes.len());
                match random.random_range(0..4) {
                    0 => bytes[at] = random.random(),
                    1 => bytes[at] = *b"0123456789-.eE\n <>\"z".get(at % 20).unwrap_or(&b'0'),
                    2 => drop(bytes.remove(at)),
                    _ => {
                        let until = (at + random.random_range(1..60)).min(bytes.len());
                        let piece = bytes[at..until].to_vec();
                        let to = random.random_range(0..bytes.len());
                        bytes.splice(to..to, piece);
                    }
                }
            }
            if random.random_range(0..4) == 0 {
                bytes.truncate(random.random_range(0..bytes.len()));
            }
            read += usize::from(report(&bytes, None).is_ok());
        }
    }
    assert!(read > 0, "some damage leaves a drawing");
}
