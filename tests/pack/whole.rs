//! What holds for everything that is packed.

use crate::page::{packed, page, traces};
use nudgeproof_pack::{Course, licences, pack, read_folder, write_folder};
use std::path::Path;

#[test]
fn two_packings_are_equal_byte_by_byte() {
    let (one, other) = (packed(&page()), packed(&page()));
    assert!(one.is_ok(), "{:?}", one.err());
    assert_eq!(one, other, "packed twice");
}

#[test]
fn a_trace_of_the_machine_that_built_it_stops_the_packing_and_is_named() {
    let project = Path::new(env!("CARGO_MANIFEST_DIR")).canonicalize().expect("the project");
    let own = project.join("lib.rs").to_string_lossy().into_owned();
    for trace in [own.as_str(), concat!("/ho", "me/anyone/lib.rs"), "/opt/registry/src/x/lib.rs"] {
        let mut page = page();
        let program = page.get_mut("page-0123456789abc_bg.wasm").expect("the program");
        program.extend(trace.as_bytes());
        let refused = packed(&page).expect_err("a trace");
        assert!(refused.contains("page-0123456789abc_bg.wasm"), "the file is named: {refused}");
    }
    let refused = pack(&page(), &Course::default(), concat!("see /ro", "ot/.cargo/x"), &traces());
    assert!(
        refused.is_err_and(|why| why.contains("licences.txt")),
        "the licences are searched too"
    );
}

#[test]
fn a_page_that_lacks_something_is_refused_with_what_it_lacks() {
    for (gone, named) in [
        ("index.html", "index.html"),
        ("main-0123456789abc.css", "main-0123456789abc.css"),
        ("boot-0123456789abc.js", "boot-0123456789abc.js"),
        ("page-0123456789abc_bg.wasm", "page-0123456789abc_bg.wasm"),
        ("worker-0123456789abc_bg.wasm", "worker-0123456789abc_bg.wasm"),
    ] {
        let mut page = page();
        page.remove(gone);
        let refused = packed(&page).expect_err("something is gone");
        assert!(refused.contains(named), "{gone}: {refused}");
    }
}

#[test]
fn a_page_with_a_laxer_policy_is_refused() {
    let mut page = page();
    let html = String::from_utf8(page["index.html"].clone()).expect("text");
    let lax = html.replace("default-src 'none'", "default-src *");
    page.insert("index.html".into(), lax.into_bytes());
    let refused = packed(&page).expect_err("a lax policy");
    assert!(refused.contains("default-src 'none'"), "what was expected: {refused}");
}

#[test]
fn a_folder_is_written_anew_and_no_other_folder_is_touched() {
    let place = tempfile::tempdir().expect("a folder");
    let out = place.path().join("packed");
    let mut files = packed(&page()).expect("packed");
    write_folder(&out, &files).expect("written");
    files.remove("nudgeproof.html");
    write_folder(&out, &files).expect("written again");
    let mut there = read_folder(&out).expect("read");
    assert!(there.remove("README.txt").is_some(), "it says what is what");
    assert_eq!(there, files, "nothing of the first packing is left");

    let other = place.path().join("other");
    std::fs::create_dir(&other).expect("a folder");
    std::fs::write(other.join("letter.txt"), "Dear …").expect("a file");
    let refused = write_folder(&other, &files).expect_err("somebody's folder");
    assert!(refused.contains("expected an empty folder"), "{refused}");
    assert!(other.join("letter.txt").exists(), "and it is as it was");
}

#[test]
fn the_licences_name_what_is_in_the_page_with_its_texts_and_nothing_else() {
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../Cargo.toml");
    let all = licences(&manifest).expect("licences");
    let (list, texts) = all.split_once("\n------").expect("a list, and texts");
    for inside in ["leptos ", "nalgebra ", "serde_json ", "wasm-bindgen ", "libm "] {
        assert!(list.lines().any(|line| line.starts_with(inside)), "{inside}is in the page");
    }
    // The command line's, a macro, the tests'.
    for outside in ["clap ", "serde_derive ", "proptest ", "parry3d-f64 "] {
        assert!(!list.lines().any(|line| line.starts_with(outside)), "{outside}is not");
    }
    assert!(texts.contains("Permission is hereby granted"), "the MIT licence");
    assert!(texts.contains("Apache License"), "the Apache licence");
    assert_eq!(all, licences(&manifest).expect("licences"), "the same each time");
    traces().check(&[("licences.txt".to_owned(), all.into_bytes())].into()).expect("no trace");
}
