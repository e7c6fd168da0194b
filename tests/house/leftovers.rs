//! What must not stand in any file of the project: addresses of package registries, and the
//! folders of the machine it was written on.

use crate::source::{files_below, root};
use std::fs;

/// In pieces, so that this file does not hold what it looks for.
const LEFTOVERS: [&[&str]; 10] = [
    &["crates", ".io"],
    &["npmjs", ".org"],
    &["npmjs", ".com"],
    &["pypi", ".org"],
    &["static.rust-", "lang.org"],
    &["deb.", "debian.org"],
    &["/tm", "p/wt"],
    &["/wo", "rk/"],
    &["/ro", "ot/"],
    &["/ho", "me/"],
];
/// Cargo itself writes the address of its index into its lock files.
const EXCEPT: &str = "Cargo.lock";
const SKIP: [&str; 7] = [".git", "target", "dist", "packed", "node_modules", "shots", "artifacts"];

fn leftovers(text: &str) -> Vec<String> {
    LEFTOVERS.iter().map(|parts| parts.concat()).filter(|word| text.contains(word)).collect()
}

#[test]
fn no_registry_and_no_machine_is_named() {
    let mut found = Vec::new();
    let files = files_below(root(), &SKIP);
    assert!(files.len() > 20, "the project's files were found, but only {}", files.len());
    for path in files {
        let name = path.strip_prefix(root()).unwrap_or(&path).display().to_string();
        if path.ends_with(EXCEPT) || name == ".git" {
            continue;
        }
        let text = String::from_utf8_lossy(&fs::read(&path).expect("a file")).into_owned();
        found.extend(leftovers(&text).iter().map(|word| format!("{name}: {word}")));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// The check itself.
#[test]
fn leftovers_are_found() {
    let bad = ["https://index.crates", ".io/"].concat();
    assert_eq!(leftovers(&bad).len(), 1, "in {bad:?}");
    assert_eq!(leftovers("crates of Cargo.lock, /tmp"), Vec::<String>::new(), "nothing here");
}
