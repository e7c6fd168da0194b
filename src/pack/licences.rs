//! The licences of all that goes into the page, as a text to hand on with it.

use crate::files::Problem;
use cargo_metadata::camino::Utf8Path;
use cargo_metadata::{
    CargoOpt, DependencyKind, Metadata, MetadataCommand, Package, PackageId, TargetKind,
};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// Beginnings of the names of files that hold a licence, in capitals.
const LICENCE_FILES: [&str; 5] = ["LICENSE", "LICENCE", "COPYING", "COPYRIGHT", "NOTICE"];
const TARGET: &str = "wasm32-unknown-unknown";

/// The licences of the page of the project whose manifest this is, by what `cargo metadata` says of it,
/// without the network.
///
/// # Errors
/// What cargo says, or the file that cannot be read.
pub fn licences(manifest: &Path) -> Result<String, Problem> {
    let metadata = MetadataCommand::new()
        .manifest_path(manifest)
        .features(CargoOpt::NoDefaultFeatures)
        .features(CargoOpt::SomeFeatures(vec!["app".into()]))
        .other_options(["--locked", "--offline", "--filter-platform", TARGET].map(str::to_owned))
        .exec()
        .map_err(|e| format!("{}: cargo metadata failed: {e}", manifest.display()))?;
    let packages = shipped(&metadata)?;
    let (mut list, mut texts) = (String::new(), BTreeMap::<String, BTreeSet<String>>::new());
    for package in &packages {
        let name = format!("{} {}", package.name, package.version);
        let licence = package.license.as_deref().unwrap_or("see its text below");
        // Writing to a text does not fail.
        let _ = writeln!(list, "{name}: {licence}");
        let folder = package.manifest_path.parent().map_or(Path::new("."), Utf8Path::as_std_path);
        for text in texts_in(folder)? {
            texts.entry(text).or_default().insert(name.clone());
        }
    }
    for text in texts_in(&manifest.with_file_name("src/pack"))? {
        texts.entry(text).or_default().insert("Nudgeproof".into());
    }
    let mut all = format!("{HEAD}\n{list}");
    for (text, packages) in in_order(texts) {
        let names: Vec<_> = packages.into_iter().collect();
        let _ = write!(all, "\n{RULE}\n{}\n\n{text}\n", names.join(", "));
    }
    Ok(all)
}

const HEAD: &str = "\
Nudgeproof is under the MIT licence or the Apache licence 2.0, at your choice.

It is built with these libraries, each under its own licence. Their texts follow. It also holds parts of
Rust's standard library, by the Rust project contributors, under the MIT licence or the Apache licence 2.0.
";
const RULE: &str = "------------------------------------------------------------";

/// Texts in the order of the first package that each is of.
fn in_order(texts: BTreeMap<String, BTreeSet<String>>) -> Vec<(String, BTreeSet<String>)> {
    let mut texts: Vec<_> = texts.into_iter().collect();
    texts.sort_by(|(_, a), (_, b)| a.cmp(b));
    texts
}

/// The packages whose code is in the page, in the order of their names: not those that only build it.
fn shipped(metadata: &Metadata) -> Result<Vec<&Package>, Problem> {
    let root = metadata.root_package().ok_or("Cargo.toml: expected a package")?;
    let resolve =
        metadata.resolve.as_ref().ok_or("cargo metadata: expected what depends on what")?;
    let mut found = BTreeSet::<&PackageId>::new();
    let mut open = vec![&root.id];
    while let Some(id) = open.pop() {
        let Some(node) = resolve.nodes.iter().find(|node| node.id == *id) else { continue };
        for dependency in &node.deps {
            let normal = dependency.dep_kinds.iter().any(|d| d.kind == DependencyKind::Normal);
            if normal && !builds_only(&metadata[&dependency.pkg]) && found.insert(&dependency.pkg) {
                open.push(&dependency.pkg);
            }
        }
    }
    let mut packages: Vec<_> = found.into_iter().map(|id| &metadata[id]).collect();
    packages.sort_by_key(|package| (package.name.to_string(), package.version.clone()));
    Ok(packages)
}

/// Whether it is a macro that runs while the page is built.
fn builds_only(package: &Package) -> bool {
    package.targets.iter().any(|target| target.kind.contains(&TargetKind::ProcMacro))
}

/// The texts of the licences that stand in a folder.
fn texts_in(folder: &Path) -> Result<Vec<String>, Problem> {
    let cannot =
        |why: std::io::Error| format!("{}: a licence cannot be read: {why}", folder.display());
    let mut files: Vec<_> = fs::read_dir(folder)
        .map_err(cannot)?
        .filter_map(Result::ok)
        .filter(|entry| {
            let name = entry.file_name().to_string_lossy().to_uppercase();
            LICENCE_FILES.iter().any(|start| name.starts_with(start)) && entry.path().is_file()
        })
        .map(|entry| entry.path())
        .collect();
    files.sort();
    let read = |path: &std::path::PathBuf| {
        let text = fs::read(path).map_err(cannot)?;
        let text = String::from_utf8_lossy(&text).replace("\r\n", "\n");
        let lines: Vec<_> = text.trim_matches('\n').lines().map(str::trim_end).collect();
        Ok(lines.join("\n"))
    };
    files.iter().map(read).collect()
}
