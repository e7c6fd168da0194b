//! The layers of the library know only those to their left, and none of them reaches for
//! a clock, for chance, or for the browser.

use crate::modules::{Module, Modules};
use crate::source::root;
use std::fs;

/// What the core gets as an argument, or leaves to the binaries. A word is looked for everywhere in
/// the code, a path among the paths.
const AMBIENT: [&str; 13] = [
    "Instant",
    "SystemTime",
    "thread_rng",
    "rand::rng",
    "from_os_rng",
    "from_entropy",
    "getrandom",
    "js_sys",
    "web_sys",
    "wasm_bindgen",
    "leptos",
    "gloo",
    "clap",
];
const BINARIES: [&str; 4] = ["app", "cli", "pack", "worker"];

/// The line of arrows in the crate's own documentation is the order that holds.
fn order() -> Vec<String> {
    let docs = fs::read_to_string(root().join("src/lib.rs")).expect("src/lib.rs");
    let line = docs.lines().find(|l| l.matches('←').count() > 1).expect("a line of arrows");
    line.trim_start_matches("//!").replace('`', "").split('←').map(|s| s.trim().into()).collect()
}

/// What a file of a layer does that it must not: one sentence each.
fn offences(module: &Module, order: &[String]) -> Vec<String> {
    let layer = module.layer();
    let rank = |name: &str| order.iter().position(|l| l == name);
    let mut found = Vec::new();
    for path in &module.paths {
        if let Some(full) = Modules::absolute(module, &path.words)
            && let Some(name) = full.first()
            && rank(name) > rank(layer)
        {
            found.push(format!("line {}: {layer} must not know {name}", path.line));
        }
        for ambient in AMBIENT.iter().filter(|a| a.contains("::")) {
            if path.words.join("::") == *ambient {
                found.push(format!("line {}: {layer} must not use {ambient}", path.line));
            }
        }
    }
    for (word, line) in &module.tokens {
        if AMBIENT.contains(&word.as_str()) {
            found.push(format!("line {line}: {layer} must not use {word}"));
        }
    }
    found
}

#[test]
fn layers_know_only_those_left_of_them() {
    let order = order();
    let modules = Modules::of_the_project();
    let mut found = Vec::new();
    let mut seen = 0;
    for module in modules.0.values().filter(|m| !BINARIES.contains(&m.layer())) {
        seen += 1;
        let layer = module.layer();
        assert!(order.iter().any(|l| l == layer), "{}: no layer of src/lib.rs", module.file);
        found.extend(offences(module, &order).iter().map(|o| format!("{}: {o}", module.file)));
    }
    assert!(seen > 100, "the layers were found, but only {seen} files of them");
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// The check itself: what it must find, and what it must leave alone.
#[test]
fn upward_arrows_and_ambient_effects_are_found() {
    let order = order();
    let check = |source: &str| offences(&Module::new("src/cell/noise.rs", source), &order);
    for bad in [
        "use crate::coach::Finding;",
        "use crate::{geometry::{Pose, Line}, routine::Step};",
        "fn f() -> crate::session::State { todo() }",
        "use super::super::lesson::Lesson;",
        "use crate :: coach;",
        "let t = std::time::Instant::now();",
        "let mut r = rand::rng();",
        "use web_sys::window;",
    ] {
        assert_eq!(check(bad).len(), 1, "in {bad:?}: {:?}", check(bad));
    }
    for good in [
        "use crate::{geometry::{Pose, coach}, locate::Problem};",
        "use super::session; // own file of that name",
        "// use crate::coach::Finding;",
        "let s = \"crate::coach\";",
        "use rand::rngs::StdRng; use crate::cell::Part; let instants = 3;",
    ] {
        assert_eq!(check(good), Vec::<String>::new(), "in {good:?}");
    }
    assert_eq!(check("\n\nuse crate::coach;"), ["line 3: cell must not know coach"]);
}
