//! The files below `src/` as modules, and which file each path in them leads to.

use crate::source::{PathAt, Token, files_below, paths, root, tokens};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// How many `use` lines one name may pass through.
const MOST_STEPS: usize = 16;

/// A file as a module.
pub(crate) struct Module {
    /// Its place in the crate, such as `["locate", "study", "plan"]`; what `crate` means comes first.
    pub(crate) path: Vec<String>,
    /// The file below the project's folder.
    pub(crate) file: String,
    pub(crate) tokens: Vec<Token>,
    pub(crate) paths: Vec<PathAt>,
    /// Names of what is defined in it.
    defined: BTreeSet<String>,
}

impl Module {
    pub(crate) fn new(file: &str, source: &str) -> Self {
        let tokens = tokens(source);
        let defined = tokens.windows(2).filter(|pair| {
            let word = pair[0].0.as_str();
            ["struct", "enum", "trait", "type", "fn", "const", "static", "union"].contains(&word)
        });
        let macros = tokens.windows(3).filter(|w| w[0].0 == "macro_rules").map(|w| &w[2].0);
        let defined = defined.map(|pair| &pair[1].0).chain(macros).cloned().collect();
        let path = module_path(file);
        Self { path, file: file.to_owned(), paths: paths(&tokens), tokens, defined }
    }

    /// The layer it belongs to: the first folder, or the file itself.
    pub(crate) fn layer(&self) -> &str {
        self.path.first().map_or("", String::as_str)
    }
}

/// `src/locate/study/mod.rs` is `locate::study`; `lib.rs`, `main.rs` and the like are the root.
fn module_path(file: &str) -> Vec<String> {
    let below = file.strip_prefix("src/").unwrap_or(file).trim_end_matches(".rs");
    let mut path: Vec<String> = below.split('/').map(str::to_owned).collect();
    if ["mod", "lib", "main"].contains(&path[path.len() - 1].as_str()) {
        path.pop();
    }
    path
}

/// Modules by their paths.
#[derive(Default)]
pub(crate) struct Modules(pub(crate) BTreeMap<Vec<String>, Module>);

impl Modules {
    /// The files below `src/`, without the roots of the crates and the build script.
    pub(crate) fn of_the_project() -> Self {
        let mut all = Self::default();
        for path in files_below(&root().join("src"), &[]) {
            let name = path.strip_prefix(root()).unwrap_or(&path).to_string_lossy().into_owned();
            let in_a_layer = name.matches('/').count() > 1;
            if in_a_layer && Path::new(&name).extension().is_some_and(|e| e == "rs") {
                all.add(Module::new(&name, &fs::read_to_string(&path).expect("a source file")));
            }
        }
        all
    }

    pub(crate) fn add(&mut self, module: Module) {
        self.0.insert(module.path.clone(), module);
    }

    /// The full path that `words` stands for in `module`, if it begins in this crate: `super`, `self`
    /// and `crate` are resolved, names that a `use` binds are not.
    pub(crate) fn absolute(module: &Module, words: &[String]) -> Option<Vec<String>> {
        let mut base = module.path.clone();
        let mut rest = words;
        match words.first()?.as_str() {
            // Below `src/cli` and `src/pack` the root is that folder: a crate of its own.
            "crate" => base.truncate(usize::from(["cli", "pack"].contains(&module.layer()))),
            "self" => {}
            "super" => drop(base.pop()),
            _ => return None,
        }
        rest = &rest[1..];
        while rest.first().is_some_and(|w| w == "super") {
            base.pop();
            rest = &rest[1..];
        }
        Some(base.into_iter().chain(rest.iter().cloned()).collect())
    }

    /// Where `words`, as they stand in `module`, lead to.
    pub(crate) fn target(&self, module: &Module, words: &[String]) -> Option<Target<'_>> {
        self.resolve(module, words, 0)
    }

    fn resolve(&self, module: &Module, words: &[String], steps: usize) -> Option<Target<'_>> {
        if steps > MOST_STEPS {
            return None;
        }
        let mut child = module.path.clone();
        child.push(words.first()?.clone());
        if let Some(full) = Self::absolute(module, words) {
            self.descend(&full, steps)
        } else if self.0.contains_key(&child) {
            child.extend(words[1..].iter().cloned());
            self.descend(&child, steps)
        } else {
            self.through_use(module, words, steps)
        }
    }

    /// Follows a full path from module to module.
    fn descend(&self, full: &[String], steps: usize) -> Option<Target<'_>> {
        let (module, rest) =
            (0..=full.len()).rev().find_map(|n| self.0.get(&full[..n]).map(|m| (m, &full[n..])))?;
        if rest.first().is_none_or(|word| word == "*") {
            return Some(Target { module, whole: true });
        }
        let here = Target { module, whole: false };
        if module.defined.contains(&rest[0]) {
            return Some(here);
        }
        let handed_on = module.paths.iter().any(|p| p.bound_as.as_ref() == Some(&rest[0]));
        let target = self.through_use(module, rest, steps);
        if handed_on { target } else { target.or(Some(here)) }
    }

    /// Follows a name that a `use` in `module` binds, by itself or with everything of a module.
    fn through_use(&self, module: &Module, words: &[String], steps: usize) -> Option<Target<'_>> {
        let binds = |p: &&PathAt| p.bound_as.as_ref() == Some(&words[0]) && p.words != words;
        if let Some(path) = module.paths.iter().find(binds) {
            let whole: Vec<_> = path.words.iter().chain(&words[1..]).cloned().collect();
            return self.resolve(module, &whole, steps + 1);
        }
        let globs = module.paths.iter().filter(|p| p.words.last().is_some_and(|w| w == "*"));
        let mut from = globs.filter_map(|p| self.resolve(module, &p.words, steps + 1));
        let target = from.find(|t| t.module.defined.contains(&words[0]))?;
        Some(Target { whole: false, ..target })
    }

    /// The other files of its layer that a file takes something from, each with the first path that
    /// leads there. What a `mod.rs` only hands on is no need of its own.
    pub(crate) fn needs(&self, module: &Module) -> BTreeMap<&str, String> {
        let facade = module.file.ends_with("mod.rs");
        let mut found = BTreeMap::new();
        for path in module.paths.iter().filter(|p| !(facade && p.handed_on)) {
            let Some(Target { module: other, whole: false }) = self.target(module, &path.words)
            else {
                continue;
            };
            if other.file != module.file && other.layer() == module.layer() {
                found.entry(other.file.as_str()).or_insert_with(|| path.words.join("::"));
            }
        }
        found
    }
}

/// Where a path leads.
pub(crate) struct Target<'a> {
    pub(crate) module: &'a Module,
    /// The module as a whole, or all that is in it: judged by the paths that go through it.
    pub(crate) whole: bool,
}
