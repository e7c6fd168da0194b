//! Within a layer the files know each other in one direction: no file is needed by what it needs.

use crate::modules::{Module, Modules};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What each file needs: the other file, and the path that leads there.
type Needs<'a> = BTreeMap<&'a str, BTreeMap<&'a str, String>>;

/// Every file that can be reached from `file`, and from which file on the shortest way.
fn reached<'a>(needs: &Needs<'a>, file: &'a str) -> BTreeMap<&'a str, &'a str> {
    let mut came_from = BTreeMap::new();
    let mut next = VecDeque::from([file]);
    while let Some(from) = next.pop_front() {
        for &to in needs.get(from).into_iter().flat_map(BTreeMap::keys) {
            if !came_from.contains_key(to) {
                came_from.insert(to, from);
                next.push_back(to);
            }
        }
    }
    came_from
}

/// One line for each group of files that need each other: its size, and its shortest circle.
fn circles(modules: &Modules) -> Vec<String> {
    let needs: Needs = modules.0.values().map(|m| (m.file.as_str(), modules.needs(m))).collect();
    let reach: BTreeMap<&str, _> = needs.keys().map(|&f| (f, reached(&needs, f))).collect();
    let mut told = Vec::new();
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for module in modules.0.values() {
        let file = module.file.as_str();
        if !reach[file].contains_key(file) || seen.contains(file) {
            continue;
        }
        let group: Vec<&str> =
            reach[file].keys().copied().filter(|f| reach[f].contains_key(file)).collect();
        seen.extend(group.iter().copied());
        let ways = group.iter().map(|f| way_round(&reach[f], f));
        let shortest = ways.min_by_key(Vec::len).unwrap_or_default();
        let arrow = |w: &[&str]| format!("{} takes {} of {}", w[0], needs[w[0]][w[1]], w[1]);
        let arrows: Vec<_> = shortest.windows(2).map(arrow).collect();
        told.push(format!("{} files: {}", group.len(), arrows.join(", ")));
    }
    told
}

/// The files on the shortest way from `file` back to itself, which comes first and last.
fn way_round<'a>(came_from: &BTreeMap<&'a str, &'a str>, file: &'a str) -> Vec<&'a str> {
    let mut way = vec![file, came_from[file]];
    while way[way.len() - 1] != file {
        way.push(came_from[way[way.len() - 1]]);
    }
    way.reverse();
    way
}

#[test]
fn files_of_a_layer_know_each_other_in_one_direction() {
    let modules = Modules::of_the_project();
    let arrows: usize = modules.0.values().map(|m| modules.needs(m).len()).sum();
    assert!(arrows > 200, "the files were read, but they need each other only {arrows} times");
    let found = circles(&modules);
    assert!(found.is_empty(), "{} circles:\n{}", found.len(), found.join("\n"));
}

fn modules(files: &[(&str, &str)]) -> Modules {
    let mut all = Modules::default();
    for (file, source) in files {
        all.add(Module::new(file, source));
    }
    all
}

/// The check itself: what it must find, and what it must leave alone.
#[test]
fn circles_are_found_through_what_is_handed_on() {
    let facade =
        ("src/cell/mod.rs", "mod a; mod b; pub use a::A; pub(crate) use b::{B as Bee, c};");
    let a = ("src/cell/a.rs", "use super::Bee; pub struct A(Bee);");
    for b in [
        "use crate::cell::A; pub struct B; pub fn c(_: A) {}",
        "use super::a; pub struct B; pub fn c(_: a::A) {}",
        "pub struct B; pub fn c(_: super::a::A) {}",
        "pub struct B; pub fn c(_: crate::cell::A) {}",
        "use super::*; pub struct B; pub fn c(_: super::A) {}",
    ] {
        let found = circles(&modules(&[facade, a, ("src/cell/b.rs", b)]));
        assert_eq!(found.len(), 1, "in {b:?}: {found:?}");
        assert!(found[0].contains("src/cell/a.rs takes super::Bee of src/cell/b.rs"), "{found:?}");
    }
    for b in [
        "pub struct B; pub fn c() {}",
        "// super::A\npub struct B; const C: &str = \"super::A\"; pub fn c() {}",
        "pub struct B; pub fn c() {}\n#[cfg(test)]\nmod tests { use super::super::A; }",
        "use crate::geometry::A; pub struct B; pub fn c(_: A) {}",
    ] {
        let found = circles(&modules(&[facade, a, ("src/cell/b.rs", b)]));
        assert_eq!(found, Vec::<String>::new(), "in {b:?}");
    }
    // A `mod.rs` with code of its own is a file like any other.
    let own = ("src/cell/mod.rs", "mod a; use a::A; pub struct Bee; pub fn f(_: A) {}");
    assert_eq!(circles(&modules(&[own, a])).len(), 1, "mod.rs and a file below it");
}
