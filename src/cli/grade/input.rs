//! Where sessions, records and statements come from: files below a folder or a single one, lines of standard input, or
//! a learning record store.

use super::source::{Source, Text};
use super::store::{Store, is_address};
use crate::output::Problem;
use nudgeproof::io::limits::FILE_KIB;
use std::fs;
use std::io::{self, BufRead, BufReader, Read as _};
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, IntoIter, WalkDir};

/// Texts that are held at a time, bytes.
const HELD: u64 = 64 << 20;

/// All of it, one after the other.
pub(super) struct Input(Box<dyn Iterator<Item = Source> + Send>);

impl Input {
    /// A folder, without what lies in `out`; a file; standard input; or the answers of a store.
    pub(super) fn open(from: &Path, out: Option<&Path>) -> Result<Self, Problem> {
        if from == Path::new("-") {
            let lines = Lines { input: Box::new(BufReader::new(io::stdin())), read: 0 };
            return Ok(Self(Box::new(lines)));
        }
        if let Some(address) = from.to_str().filter(|from| is_address(from)) {
            return Ok(Self(Box::new(Store::at(address)?)));
        }
        let name = from.display();
        let unread = |e| {
            format!(
                "{name}: expected a folder, a file or the address of a record store, or - for standard input, and could not read it: {e}"
            )
        };
        let metadata = fs::metadata(from).map_err(unread)?;
        if metadata.is_file() {
            let text = Ok(Text::File(from.into(), metadata.len()));
            let file = Source { name: name.to_string(), text };
            return Ok(Self(Box::new(std::iter::once(file))));
        }
        fs::read_dir(from).map_err(unread)?;
        let real = |path: &Path| fs::canonicalize(path).ok();
        let out = out.and_then(real);
        if out.is_some() && out == real(from) {
            return Err(format!("{name}: expected another folder than the one given with --out"));
        }
        let files = WalkDir::new(from).sort_by_file_name().into_iter();
        Ok(Self(Box::new(Folder { root: from.into(), files, out })))
    }

    /// The next ones, in order: at most so many, and none only at the end.
    pub(super) fn next_some(&mut self, most: usize) -> Vec<Source> {
        let mut held = 0;
        let mut some = Vec::new();
        while some.len() < most
            && held < HELD
            && let Some(source) = self.0.next()
        {
            held += source.text.as_ref().map_or(0, Text::bytes);
            some.push(source);
        }
        some
    }
}

/// The files *.json below a folder, in the order of their names. No link is followed, so each comes once.
struct Folder {
    root: PathBuf,
    files: IntoIter,
    /// Where the tables are written.
    out: Option<PathBuf>,
}

impl Iterator for Folder {
    type Item = Source;

    fn next(&mut self) -> Option<Source> {
        loop {
            let source = match self.files.next()? {
                Ok(entry) => self.source(&entry),
                Err(e) => {
                    let path = e.path().unwrap_or(&self.root);
                    let why = e.io_error().map_or_else(|| e.to_string(), ToString::to_string);
                    Some(Source {
                        name: self.name(path),
                        text: Err(format!("expected to read it, and could not: {why}")),
                    })
                }
            };
            if source.is_some() {
                return source;
            }
        }
    }
}

impl Folder {
    fn name(&self, path: &Path) -> String {
        path.strip_prefix(&self.root).unwrap_or(path).display().to_string()
    }

    fn source(&mut self, entry: &DirEntry) -> Option<Source> {
        let (path, kind) = (entry.path(), entry.file_type());
        if kind.is_dir() {
            if self.out.is_some() && fs::canonicalize(path).ok() == self.out {
                self.files.skip_current_dir();
            }
            return None;
        }
        let is_json = path.extension().is_some_and(|end| end.eq_ignore_ascii_case("json"));
        let text = if kind.is_symlink() && (is_json || path.is_dir()) {
            Err("expected a file or a folder, and found a link, which is not followed".into())
        } else if !is_json {
            return None;
        } else if kind.is_file() {
            Ok(Text::File(path.into(), entry.metadata().map_or(0, |file| file.len())))
        } else {
            Err("expected a file, and found a pipe or a device".into())
        };
        Some(Source { name: self.name(path), text })
    }
}

/// The lines of standard input that are not empty.
struct Lines {
    input: Box<dyn BufRead + Send>,
    read: usize,
}

impl Iterator for Lines {
    type Item = Source;

    fn next(&mut self) -> Option<Source> {
        loop {
            self.read += 1;
            let name = format!("line {}", self.read);
            let mut line = Vec::new();
            let most = FILE_KIB.most * 1024;
            let text = (&mut self.input).take(most as u64 + 1).read_until(b'\n', &mut line);
            let text = match text {
                Ok(0) => return None,
                Ok(_) if line.len() > most => {
                    // Only the end of the line is looked for: the next one can be read.
                    let _ = self.input.skip_until(b'\n');
                    Err(format!("expected at most {} KiB in a line, and found more", FILE_KIB.most))
                }
                Ok(_) => String::from_utf8(line.trim_ascii_end().into())
                    .map(Text::Here)
                    .map_err(|_| "expected text in UTF-8, and found other bytes".into()),
                Err(e) => {
                    self.input = Box::new(io::empty());
                    Err(format!("expected to read standard input, and could not: {e}"))
                }
            };
            if !matches!(&text, Ok(Text::Here(text)) if text.trim().is_empty()) {
                return Some(Source { name, text });
            }
        }
    }
}
