//! Bad parts, settings and faults: one clear sentence that names the place and what was expected.

use nudgeproof::cell::{Cell, CellSettings, Fault, Part, part_by_name};
use nudgeproof::geometry::Vector3;
use nudgeproof::io::from_json;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

const SOUND: &str = include_str!("../../src/cell/parts/bench-side.toml");

#[track_caller]
fn refused(from: &str, to: &str, expected: &str) {
    assert!(SOUND.contains(from), "{from:?} is in the file");
    let error = Part::from_toml(&SOUND.replacen(from, to, 1)).expect_err("refused");
    assert_eq!(error.to_string(), expected, "{from:?} replaced by {to:?}");
}

#[test]
fn a_broken_part_file_is_refused_in_one_sentence() {
    refused(
        "z = [0, 12]",
        "z = [0, 12",
        "line 12, column 1: missing comma between array elements, expected `,`",
    );
    refused(
        "outline = [[0, 0], ",
        "outline = [[0], ",
        "line 9, column 12: bodies[0].outline[0]: expected a corner as [x, y] or [x, y, radius], and found 1",
    );
    refused(
        "z = [0, 12]",
        "z = [12, 12]",
        "bodies[0] \"side plate\": z needs an underside below its top face, within ±10000 mm, and is [12, 12]",
    );
    refused(
        "[400, 250], [0, 250]",
        "[0, 250], [400, 250]",
        "bodies[0] \"side plate\": outline: the edges after corners 1 and 3 cross",
    );
    refused(
        "name = \"seat rail\"",
        "name = \"table\"",
        "bodies[1]: expected a name that nothing else here has, and found \"table\"",
    );
    refused(
        "name = \"east clamp\"",
        "name = \"side plate\"",
        "clamps[1]: expected a name that nothing else here has, and found \"side plate\"",
    );
    refused(
        "tolerance_mm = 0.6",
        "tolerance_mm = -0.6",
        "seams[0].tolerance_mm: expected 0.01 to 100 mm, and found -0.6",
    );
    refused(
        "to = [360, 160, 12]",
        "to = [80, 160, 40]",
        "seams[0].to: expected a point at least 1 mm along the plan from its other end, and found [80.0, 160.0, 40.0]",
    );
    refused(
        "direction = [0, 1, 0]",
        "direction = [0, 2, 0]",
        "model_touches[0].direction: expected a direction of unit length, and found [0.0, 2.0, 0.0]",
    );
    refused(
        "turn_deg = 2.5",
        "turn_deg = nan",
        "line 43, column 12: expected a finite number, and found nan",
    );
    refused(
        "arm_base = [200.0, 1400.0]",
        "arm_base = [200.0, inf]",
        "line 5, column 20: expected a finite number, and found inf",
    );
    refused(
        "z = [0, 12]",
        "z = [0, 12, 30]",
        "line 10, column 5: bodies[0].z: expected a list of 2, and found 3",
    );
    refused(
        "plate = \"left\"",
        "plate = \"west\"",
        "line 21, column 9: seams[0].plate: expected `left` or `right`, and found `west`",
    );
    refused(
        "plate = \"left\"",
        "plate = \"left\"\njoint = \"tee\"",
        "line 22, column 9: seams[0].joint: expected one of `fillet`, `lap`, `corner`, `butt`, and found `tee`",
    );
    let butt = |gap: &str| format!("plate = \"left\"\njoint = {{ butt = {{ {gap} }} }}");
    refused(
        "plate = \"left\"",
        &butt("walls = [\"seat rail\", \"side plate\"], gap_mm = -1"),
        "seams[0].joint.butt.gap_mm: expected 0 to 100 mm, and found -1",
    );
    refused(
        "plate = \"left\"",
        &butt("walls = [\"seat rail\", \"door\"], gap_mm = 8"),
        "seams[0].joint.butt.walls: expected the names of two bodies, and found [\"seat rail\", \"door\"]",
    );
    refused(
        "plate = \"left\"",
        "plate = \"left\"\nplace = \"left-end\"",
        "seams[0].place: expected the place of a model touch, and found \"left-end\"",
    );
    refused(
        "face = \"south\"",
        "face = \"south\"\nplace = \"left-end\"",
        "model_touches[0].place: expected the place of a seam, and found \"left-end\"",
    );
    refused(
        "arm_base = [200.0, 1400.0]",
        "arm_base = [200.0, 1400.0]\narms = 2",
        "line 6, column 1: arms: unknown key `arms`, expected one of `name`, `title`, `bodies`, `seams`, `clamps`, `play`, `rest`, `cutter`, `arm_base`, `model_touches`",
    );
    refused(
        "name = \"bench-side\"",
        "name = \"Bench side\"",
        "name: expected small letters, digits and hyphens, and found \"Bench side\"",
    );
}

#[test]
fn a_part_reads_the_same_from_json_and_says_where_it_cannot() {
    let part = part_by_name("planter-tub").expect("it comes with the trainer");
    let text = serde_json::to_string_pretty(&part).expect("it can be written");
    assert_eq!(from_json::<Part>(&text), Ok(part), "there and back");
    let error = from_json::<Part>(&text.replacen("\"left\"", "\"west\"", 1)).expect_err("refused");
    assert_eq!(
        error.without_line(),
        "seams[0].plate: expected `left` or `right`, and found `west`"
    );
    let error = from_json::<Part>(&text[..text.len() - 1]).expect_err("refused");
    assert!(error.to_string().starts_with("line "), "where it is no JSON: {error}");
}

#[test]
fn settings_out_of_range_are_refused() {
    let part = part_by_name("bench-side").expect("it comes with the trainer");
    let refused = |settings: CellSettings, expected: &str| {
        let error = Cell::new(&part, &settings, &[]).expect_err("refused");
        assert_eq!(error.to_string(), expected, "{settings:?}");
    };
    let usual = CellSettings::default();
    refused(CellSettings { wire_mm: 0.0, ..usual }, "wire_mm: expected 0.1 to 10 mm, and found 0");
    refused(
        CellSettings { sigma_mm: f64::NAN, ..usual },
        "sigma_mm: expected 0 to 10 mm, and found NaN",
    );
    refused(
        CellSettings { nozzle_mm: 1.0, ..usual },
        "nozzle_mm: expected wire_mm to 200 mm, and found 1",
    );
}

#[test]
fn faults_that_name_nothing_in_this_cell_are_refused() {
    let part = part_by_name("bench-side").expect("it comes with the trainer");
    let refused = |fault: Fault, expected: &str| {
        let error = Cell::new(&part, &CellSettings::default(), &[fault]).expect_err("refused");
        assert_eq!(error.to_string(), expected, "the sentence");
    };
    refused(
        Fault::ClampMoved { clamp: "vice".into(), dx: 0.0, dy: 0.0 },
        "expected the name of a clamp (north clamp, east clamp, south stop), and found \"vice\"",
    );
    let paint = |body: &str, edge| Fault::PaintedEdge {
        body: body.into(),
        edge,
        from_mm: 0.0,
        to_mm: 10.0,
        depth_mm: 0.5,
    };
    refused(
        paint("lid", 0),
        "expected the name of a body (side plate, seat rail), and found \"lid\"",
    );
    refused(
        paint("side plate", 4),
        "edge: expected the number of an edge of the body's outline, from 0, and found 4",
    );
    refused(
        Fault::OutOfSquare { lean_deg: 90.0 },
        "lean_deg: expected -30 to 30 degrees, and found 90",
    );
    refused(
        Fault::WireBent { bend: Vector3::new(f64::NAN, 0.0, 0.0) },
        "bend: expected a bend within ±50 mm, and found NaN",
    );
    let error =
        Cell::new(&part, &CellSettings::default(), &[Fault::WrongPart { part: "sofa".into() }]);
    let sentence = error.expect_err("refused").to_string();
    assert!(
        sentence.starts_with("expected the name of a built-in part (bench-side, "),
        "{sentence}"
    );
    assert!(sentence.ends_with("), and found \"sofa\""), "{sentence}");
}

#[test]
fn no_scribble_over_a_part_file_makes_the_reader_fail_otherwise_than_by_one_sentence() {
    let mut draw = Pcg64Mcg::seed_from_u64(31);
    let scraps =
        ["-1", "1e400", "nan", "[", "]", "\"", "z", "0", "9999999", "\n", "ü", "name = 3\n", " = "];
    let (mut read, mut refused) = (0, 0);
    for i in 0..3000 {
        let mut text: Vec<char> = SOUND.chars().collect();
        for _ in 0..draw.random_range(1..4) {
            let at = draw.random_range(0..text.len());
            let to = (at + draw.random_range(0..6)).min(text.len());
            let scrap = scraps[draw.random_range(0..scraps.len())];
            text.splice(at..to, scrap.chars());
        }
        match Part::from_toml(&text.into_iter().collect::<String>()) {
            Ok(_) => read += 1,
            Err(e) => {
                refused += 1;
                let sentence = e.to_string();
                assert!(
                    !sentence.contains('\n') && sentence.len() > 10,
                    "scribble {i}: {sentence}"
                );
            }
        }
    }
    assert!(read > 50 && refused > 1000, "{read} read, {refused} refused: a one-sided draw");
}
