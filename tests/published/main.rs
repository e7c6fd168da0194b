//! Published values, each with its source: `tests/cases/published.json` holds what is given and what
//! was published, and a test here recomputes every entry through the code of the project.

mod cell;
mod frames;
mod locating;
mod spread;
#[path = "../support/mod.rs"]
mod support;

use serde_json::Value;
use std::collections::BTreeSet;
use support::assert_near;

fn file() -> Value {
    serde_json::from_str(include_str!("../cases/published.json")).expect("JSON")
}

fn checks() -> Vec<Value> {
    file()["checks"].as_array().expect("checks").clone()
}

/// The entry with this `id`.
fn check(id: &str) -> Value {
    let found = checks().into_iter().find(|check| check["id"] == id);
    found.unwrap_or_else(|| panic!("{id} is not among the checks"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("an array").iter().map(number).collect()
}

fn points(value: &Value) -> Vec<Vec<f64>> {
    value.as_array().expect("an array").iter().map(numbers).collect()
}

/// Asserts that every number of the entry comes out within its tolerance.
#[track_caller]
fn assert_published(check: &Value, found: &[f64]) {
    assert_published_within(check, found, &vec![0.0; found.len()]);
}

/// The same with further room for each number, for example for the scatter of random draws.
#[track_caller]
fn assert_published_within(check: &Value, found: &[f64], room: &[f64]) {
    let (published, tolerance) = (numbers(&check["published"]), numbers(&check["tolerance"]));
    assert_eq!(found.len(), published.len(), "{}: how many numbers", check["id"]);
    for (i, found) in found.iter().enumerate() {
        let what = format!("{}, value {i}, {}", check["id"], check["outputs"][i]);
        assert_near(&what, *found, published[i], tolerance[i] + room[i]);
    }
}

#[test]
fn every_published_entry_is_recomputed() {
    let recomputed: Vec<&str> = [locating::IDS, frames::IDS, spread::IDS, cell::IDS]
        .into_iter()
        .flatten()
        .copied()
        .collect();
    let checks = checks();
    let listed: Vec<_> = checks.iter().map(|c| c["id"].as_str().expect("an id")).collect();
    let set = |ids: &[&str]| ids.iter().map(|id| (*id).to_owned()).collect::<BTreeSet<_>>();
    assert_eq!(set(&listed), set(&recomputed), "an entry of the file is in no test");
    assert_eq!(set(&listed).len(), listed.len(), "an id stands twice");
    for check in checks {
        assert!(check["source"].as_str().is_some_and(|s| !s.is_empty()), "{}", check["id"]);
    }
}
