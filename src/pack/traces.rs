//! Paths and names of the machine that builds, which must stand in nothing that is handed on.

use crate::files::{Files, Problem};
use std::env;
use std::path::Path;

/// Where sources lie on any machine, wherever its folders are. In pieces, so that this file holds none.
const ANYWHERE: [&str; 6] = [
    "/registry/src/",
    "/.cargo/",
    "/.rustup/",
    concat!("/ho", "me/"),
    concat!("/ro", "ot/"),
    concat!("crates", ".io-"),
];
/// A shorter name of a machine says nothing: it stands in many a word.
const SHORTEST_HOST: usize = 6;

/// Texts that would tell where something was built.
#[derive(Debug, Clone)]
pub struct Traces(Vec<String>);

/// The folders of this machine in which the page is built from this folder, and the machine's name.
pub fn traces_of_this_machine(project: &Path) -> Traces {
    let folder = |path: &Path| path.canonicalize().ok()?.to_str().map(str::to_owned);
    let named = |name: &str| folder(Path::new(&env::var_os(name)?));
    let folders = [folder(project), named("HOME"), named("CARGO_HOME"), named("RUSTUP_HOME")];
    let host = std::fs::read_to_string("/etc/hostname").ok();
    let host = host.map(|name| name.trim().to_owned()).filter(|name| name.len() >= SHORTEST_HOST);
    // The root of all folders is no trace.
    let folders = folders.into_iter().flatten().filter(|path| path.len() > 1);
    Traces(folders.map(|path| path + "/").chain(host).chain(ANYWHERE.map(str::to_owned)).collect())
}

impl Traces {
    /// # Errors
    /// The first file that holds one, and what it holds.
    pub fn check(&self, files: &Files) -> Result<(), Problem> {
        for (name, bytes) in files {
            if let Some(trace) = self.0.iter().find(|trace| holds(bytes, trace.as_bytes())) {
                return Err(format!(
                    "{name}: holds \"{trace}\", which tells of the machine that built it: nothing was packed"
                ));
            }
        }
        Ok(())
    }
}

fn holds(bytes: &[u8], text: &[u8]) -> bool {
    bytes.windows(text.len()).any(|window| window == text)
}
