//! Turns the parts, the lessons and the glossary from TOML, in which people write them, into
//! JSON, so that the page need not carry a reader of TOML.

use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets OUT_DIR"));
    for folder in ["lessons", "src/cell/parts"] {
        println!("cargo::rerun-if-changed={folder}");
        let files = fs::read_dir(folder).expect("the folder is part of the project");
        for file in files.filter_map(|f| Some(f.ok()?.path())) {
            if file.extension().is_some_and(|e| e == "toml") {
                convert(&file, &out);
            }
        }
    }
}

fn convert(file: &Path, out: &Path) {
    let text = fs::read_to_string(file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    // A file that is not TOML becomes `null`; the tests that read it say what is wrong with it.
    let value: serde_json::Value = toml::from_str(&text).unwrap_or_default();
    let name = file.file_stem().expect("a file has a name").to_string_lossy().into_owned();
    let to = out.join(name).with_extension("json");
    fs::write(&to, value.to_string()).unwrap_or_else(|e| panic!("{}: {e}", to.display()));
}
