//! `nudgeproof layout`: the best layouts of touches for a part file.

use crate::command::{printed, refused, run};

#[test]
fn the_best_layouts_come_with_their_touches_and_keep_off_a_face() {
    let text = printed(&run(
        "layout",
        "src/cell/parts/bin-hinge.toml",
        &["--keep-out", "north", "--json"],
    ));
    let read: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(read["part"], "bin-hinge");
    assert_eq!(read["own"]["touches"], 4);
    let best = read["best"].as_array().expect("a list");
    let touches: Vec<_> = best.iter().map(|b| b["touches"].as_u64().expect("a number")).collect();
    assert_eq!(touches, [3, 4, 5]);
    for choice in best {
        let made = choice["model_touches"].as_array().expect("a list");
        assert_eq!(made.len() as u64, choice["touches"].as_u64().expect("a number"));
        assert!(made.iter().all(|touch| touch["face"] != "north"), "{made:?}");
        assert!(choice["across_mm"].as_f64().expect("a number") > 0.0);
    }
}

#[test]
fn layouts_are_said_in_a_line_each() {
    let said = printed(&run("layout", "src/cell/parts/bin-hinge.toml", &[]));
    assert_eq!(said.lines().count(), 5, "title, its own, and three: {said}");
    assert!(said.contains("\nits own: 4 touches (") && said.contains("\n3 touches ("), "{said}");
}

#[test]
fn what_is_no_part_file_is_refused() {
    refused(
        &run("layout", "src/cell/parts/none.toml", &[]),
        "none.toml: expected a part file, and could not read it",
    );
    refused(&run("layout", "Trunk.toml", &[]), "Trunk.toml: ");
}
