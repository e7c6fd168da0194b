//! Parts made of outlines out of drawing files: where one can be made, its model routine lands wherever it
//! may lie, and nothing is hit.

use crate::own_parts::trouble;
use crate::support::file;
use nudgeproof::cell::{Dimension, OutlineDraft, OutlinePartError, Part};
use nudgeproof::drawing::{DrawingReport, Unit, report};

/// A file of `tests/cases/drawings/good`, as if its unit were this one.
fn drawing(name: &str, unit: Unit) -> DrawingReport {
    let bytes = std::fs::read(file(&format!("tests/cases/drawings/good/{name}"))).expect(name);
    report(&bytes, Some(unit)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// A draft of the largest outline of a drawing, with the others as its holes.
fn draft(read: &DrawingReport, front: usize) -> Result<OutlineDraft, OutlinePartError> {
    let holes: Vec<_> = read.within(0).map(|hole| hole.corners.clone()).collect();
    OutlineDraft::new(&read.outlines[0].corners, &holes, front, "Out of a drawing")
}

#[test]
fn every_part_that_can_be_made_does_its_whole_job() {
    let mut made = Vec::new();
    let mut refused = Vec::new();
    for (name, unit) in [
        ("plate-r2000.dxf", Unit::Mm),
        ("makerjs-plate.dxf", Unit::Mm),
        ("array-r2018.dxf", Unit::Mm),
        ("inch-r2018.dxf", Unit::Inch),
        ("dxf-writer.dxf", Unit::Inch),
        ("loose-r2004.dxf", Unit::Mm),
        ("matplotlib.svg", Unit::Mm),
        ("drawsvg.svg", Unit::Mm),
        ("svgwrite-plate.svg", Unit::Mm),
        ("tarikjabiri.dxf", Unit::Inch),
    ] {
        let read = drawing(name, unit);
        let corners = &read.outlines[0].corners;
        for front in 0..corners.len() {
            let (a, b) = (corners[front], corners[(front + 1) % corners.len()]);
            // Chords of arcs are no edges to feel.
            if libm::hypot(b[0] - a[0], b[1] - a[1]) < 40.0 {
                continue;
            }
            match draft(&read, front).and_then(|draft| draft.part()) {
                Ok(part) => {
                    let trouble = trouble(&part, 3);
                    assert_eq!(trouble, None, "{name}, edge {front}: {part:#?}");
                    made.push(format!("{name}, edge {front}"));
                }
                Err(why) => refused.push(format!("{name}, edge {front}: {why}")),
            }
        }
    }
    println!("{} made\n{made:#?}\n{refused:#?}", made.len());
    assert!(made.len() >= 10, "{} made: {made:#?}\n{refused:#?}", made.len());
}

#[test]
fn it_is_written_and_read_back_the_same() {
    let part = draft(&drawing("plate-r2000.dxf", Unit::Mm), 0).and_then(|d| d.part());
    let part = part.expect("a part");
    assert_eq!(Part::from_toml(&part.to_toml()).expect("a part file"), part);
    assert_eq!(part.bodies[0].holes.len(), 2);
}

#[test]
fn a_draft_is_written_and_read_back_the_same() {
    let mut draft = draft(&drawing("plate-r2000.dxf", Unit::Mm), 0).expect("a draft");
    draft.draft.set(Dimension::PieceLength, 77.0);
    let text = serde_json::to_string(&draft).expect("numbers and texts");
    let again: OutlineDraft = serde_json::from_str(&text).expect("what was written");
    assert_eq!(again, draft);
    assert_eq!(again.part().ok(), draft.part().ok(), "to the last bit");

    // What stands in a browser's store may be anything.
    let of = |corners: &str, front: usize| {
        let from = text.find("\"drawn\"").expect("the outline");
        let drawn = format!(r#""drawn":{{"corners":{corners},"front":{front}}}}}"#);
        serde_json::from_str::<OutlineDraft>(&[&text[..from], &drawn].concat())
    };
    for (corners, front) in [
        ("[]", 0),
        ("[[0,0]]", 0),
        ("[[0,0],[0,0],[0,0]]", 0),
        ("[[0,0],[100,0],[100,100],[0,100]]", 4),
        ("[[0,0],[100,0],[50,50],[100,100],[0,100]]", 1),
    ] {
        assert!(of(corners, front).is_err(), "{corners}, edge {front} in front");
    }
    for corners in ["[[0,0],[100,0]]", "[[0,0],[1e300,0],[0,1e300]]", "[[0,0],[100,0],[0,1e-300]]"]
    {
        assert!(
            of(corners, 0).is_err() || of(corners, 0).is_ok_and(|d| d.part().is_err()),
            "{corners}"
        );
    }
}

#[test]
fn what_cannot_be_made_is_named() {
    let of = |corners: &[[f64; 2]], front| {
        OutlineDraft::new(corners, &[], front, "Wrong").and_then(|draft| draft.part())
    };
    let plate = [[0.0, 0.0], [200.0, 0.0], [200.0, 150.0], [0.0, 150.0]];
    assert!(of(&plate, 0).is_ok());
    // The other way round, and from each side.
    let back: Vec<_> = plate.iter().rev().copied().collect();
    assert!((0..4).all(|front| of(&plate, front).is_ok() && of(&back, front).is_ok()));
    assert_eq!(of(&plate, 9), Err(OutlinePartError::NoSuchEdge { edge: 9, edges: 4 }));
    let bay = [
        [0.0, 0.0],
        [90.0, 0.0],
        [90.0, 60.0],
        [150.0, 60.0],
        [150.0, 0.0],
        [300.0, 0.0],
        [300.0, 200.0],
        [0.0, 200.0],
    ];
    assert_eq!(of(&bay, 2), Err(OutlinePartError::NotOutermost));
    let tent = [[0.0, 0.0], [200.0, 0.0], [190.0, 150.0], [100.0, 90.0], [95.0, 90.0]];
    assert!(of(&tent, 0).is_ok(), "{:?}", of(&tent, 0));
    let narrow = [[100.0, 0.0], [130.0, 0.0], [230.0, 150.0], [0.0, 150.0]];
    assert!(
        matches!(of(&narrow, 0), Err(OutlinePartError::FrontTooShort { .. })),
        "{:?}",
        of(&narrow, 0)
    );
    let mut off =
        OutlineDraft::new(&plate, &[vec![[80.0, 60.0], [120.0, 60.0], [100.0, 90.0]]], 0, "Off")
            .expect("an outline");
    assert!(off.part().is_ok());
    off.draft.set(Dimension::PieceFromFront, 70.0);
    off.draft.set(Dimension::PieceFromLeft, 30.0);
    off.draft.set(Dimension::PieceLength, 140.0);
    assert_eq!(off.part(), Err(OutlinePartError::RailOffPlate));
}
