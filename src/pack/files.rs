//! Folders as maps from paths to bytes, and the names of files.

use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// An error as one sentence for standard error.
pub type Problem = String;

/// Files by their paths, with `/` between folders. In order, so that everything made of them is too.
pub type Files = BTreeMap<String, Vec<u8>>;

/// Reads a folder with all below it.
///
/// # Errors
/// The folder or file that cannot be read, and why.
pub fn read_folder(folder: &Path) -> Result<Files, Problem> {
    let mut files = Files::new();
    read_below(folder, "", &mut files)?;
    Ok(files)
}

/// Reads a text file.
///
/// # Errors
/// Its path, and why it cannot be read.
pub fn read_text(path: &Path) -> Result<String, Problem> {
    fs::read_to_string(path).map_err(|e| cannot(path, &e))
}

fn cannot(path: &Path, why: &dyn std::fmt::Display) -> Problem {
    format!("{}: expected to read it, and could not: {why}", path.display())
}

fn read_below(folder: &Path, before: &str, files: &mut Files) -> Result<(), Problem> {
    for entry in fs::read_dir(folder).map_err(|e| cannot(folder, &e))? {
        let entry = entry.map_err(|e| cannot(folder, &e))?;
        let path = entry.path();
        let name = entry.file_name().into_string();
        let name = name.map_err(|_| cannot(&path, &"its name is no text"))?;
        let name = format!("{before}{name}");
        if entry.file_type().map_err(|e| cannot(&path, &e))?.is_dir() {
            read_below(&path, &format!("{name}/"), files)?;
        } else {
            files.insert(name, fs::read(&path).map_err(|e| cannot(&path, &e))?);
        }
    }
    Ok(())
}

/// Writes files in place of what an earlier call has written: the folder holds them and nothing else.
///
/// # Errors
/// The folder or file that cannot be written, and why.
pub fn write_folder(folder: &Path, files: &Files) -> Result<(), Problem> {
    let cannot = |path: &Path, why: std::io::Error| {
        format!("{}: expected to write it, and could not: {why}", path.display())
    };
    if folder.exists() {
        if !folder.join(MARK).exists()
            && fs::read_dir(folder).is_ok_and(|mut all| all.next().is_some())
        {
            return Err(format!(
                "{}: expected an empty folder, or one that was packed before; nothing was written",
                folder.display()
            ));
        }
        fs::remove_dir_all(folder).map_err(|e| cannot(folder, e))?;
    }
    fs::create_dir_all(folder).map_err(|e| cannot(folder, e))?;
    let mark = ("README.txt".to_owned(), READ_ME.as_bytes().to_vec());
    for (name, bytes) in files.iter().chain([(&mark.0, &mark.1)]) {
        let path = folder.join(name);
        let parent = path.parent().unwrap_or(folder);
        fs::create_dir_all(parent).map_err(|e| cannot(parent, e))?;
        fs::write(&path, bytes).map_err(|e| cannot(&path, e))?;
    }
    Ok(())
}

/// What tells a folder that was packed before.
const MARK: &str = "README.txt";
const READ_ME: &str = include_str!("read_me.txt");

/// A name that changes with the content: `offline.js` becomes `offline-0123456789abcdef.js`.
pub(crate) fn hashed(name: &str, bytes: &[u8]) -> String {
    let hash = hex(&Sha256::digest(bytes)[..8]);
    match name.rsplit_once('.') {
        Some((stem, end)) => format!("{stem}-{hash}.{end}"),
        None => format!("{name}-{hash}"),
    }
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a text does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// The text of a file of the page.
pub(crate) fn text<'f>(files: &'f Files, name: &str) -> Result<&'f str, Problem> {
    let bytes =
        files.get(name).ok_or_else(|| format!("{name}: expected it in the page's folder"))?;
    std::str::from_utf8(bytes).map_err(|_| format!("{name}: expected text in UTF-8"))
}
