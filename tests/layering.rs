//! The layers of the library know only those to their left, and none of them reaches for
//! a clock, for chance, or for the browser.

mod tools;

use std::fs;
use std::path::Path;
use tools::{code_only, files_below, root};

/// What the core gets as an argument, or leaves to the binaries.
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
const NOT_LAYERS: [&str; 5] = ["lib.rs", "main.rs", "build.rs", "app", "cli"];

/// The line of arrows in the crate's own documentation is the order that holds.
fn order() -> Vec<String> {
    let docs = fs::read_to_string(root().join("src/lib.rs")).expect("src/lib.rs");
    let line = docs.lines().find(|l| l.matches('←').count() > 1).expect("a line of arrows");
    line.trim_start_matches("//!").replace('`', "").split('←').map(|s| s.trim().into()).collect()
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Where `word` stands in `code` by itself, not within a longer word.
fn places<'a>(code: &'a str, word: &'a str) -> impl Iterator<Item = usize> + 'a {
    code.match_indices(word).map(|(at, _)| at).filter(move |at| {
        !code[..*at].ends_with(is_word) && !code[at + word.len()..].starts_with(is_word)
    })
}

fn leading_word(text: &str) -> &str {
    &text[..text.find(|c| !is_word(c)).unwrap_or(text.len())]
}

/// The first names of the paths that follow `prefix`, also of those in braces.
fn names_after(code: &str, prefix: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for at in places(code, prefix) {
        let rest = &code[at + prefix.len()..];
        let Some(path) = rest.trim_start().strip_prefix("::") else { continue };
        let path = path.trim_start();
        if let Some(group) = path.strip_prefix('{') {
            let mut depth = 0;
            for part in group.split_inclusive(['{', '}', ',']) {
                if depth == 0 {
                    found.push((at, leading_word(part.trim_start()).to_owned()));
                }
                depth += i32::from(part.ends_with('{')) - i32::from(part.ends_with('}'));
                if depth < 0 {
                    break;
                }
            }
        } else {
            found.push((at, leading_word(path).to_owned()));
        }
    }
    found.retain(|(_, name)| !name.is_empty());
    found
}

/// What a file of `layer` does that it must not: one sentence each.
fn offences(layer: &str, order: &[String], source: &str, own: &[String]) -> Vec<String> {
    let code = code_only(source);
    let line = |at: usize| code[..at].matches('\n').count() + 1;
    let rank = |name: &str| order.iter().position(|l| l == name);
    let mut found = Vec::new();
    for prefix in ["crate", "super"] {
        for (at, name) in names_after(&code, prefix) {
            let own_module = prefix == "super" && own.contains(&name);
            if !own_module && rank(&name) > rank(layer) {
                found.push(format!("line {}: {layer} must not know {name}", line(at)));
            }
        }
    }
    for word in AMBIENT {
        for at in places(&code, word) {
            found.push(format!("line {}: {layer} must not use {word}", line(at)));
        }
    }
    found
}

/// The layer of a file below src/, if it is of one.
fn layer_of(path: &Path) -> Option<String> {
    let first = path.strip_prefix(root().join("src")).ok()?.iter().next()?.to_str()?;
    (!NOT_LAYERS.contains(&first)).then(|| first.trim_end_matches(".rs").to_owned())
}

#[test]
fn layers_know_only_those_left_of_them() {
    let order = order();
    let files = files_below(&root().join("src"), &[]);
    let rust: Vec<_> = files.iter().filter(|p| p.extension().is_some_and(|e| e == "rs")).collect();
    let mut found = Vec::new();
    let mut seen = 0;
    for path in &rust {
        let Some(layer) = layer_of(path) else { continue };
        seen += 1;
        assert!(order.contains(&layer), "{}: no layer of src/lib.rs", path.display());
        let own: Vec<String> = rust
            .iter()
            .filter(|p| layer_of(p).as_ref() == Some(&layer))
            .filter_map(|p| Some(p.file_stem()?.to_str()?.to_owned()))
            .collect();
        let source = fs::read_to_string(path).expect("a source file");
        let name = path.strip_prefix(root()).unwrap_or(path).display();
        found
            .extend(offences(&layer, &order, &source, &own).iter().map(|o| format!("{name}: {o}")));
    }
    assert!(seen > 2, "the layers were found, but only {seen} files of them");
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// The check itself: what it must find, and what it must leave alone.
#[test]
fn upward_arrows_and_ambient_effects_are_found() {
    let order = order();
    let check = |source: &str| offences("cell", &order, source, &["session".to_owned()]);
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
