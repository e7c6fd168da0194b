//! The files that `grade` writes, each whole or not at all.

use super::parquet_file::write_parquet;
use super::report::{FORMAT, Report};
use crate::output::Problem;
use nudgeproof::io::{from_json, to_json};
use nudgeproof::lesson::class_to_csv;
use serde::Deserialize;
use std::fs;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};

const CSV: &str = "grades.csv";
const LINES: &str = "grades.jsonl";
const PARQUET: &str = "grades.parquet";
/// Also tells that the folder is one of grades: it is written last.
const JSON: &str = "grades.json";
const ALL: [&str; 4] = [CSV, LINES, PARQUET, JSON];
/// How the name of a file begins that is not whole yet.
const UNFINISHED: &str = ".unfinished-";

/// A folder for tables alone.
pub(super) struct Tables {
    folder: PathBuf,
}

impl Tables {
    /// The folder, new, empty, or with tables that were written before. Anything else may be somebody's work.
    pub(super) fn in_folder(folder: &Path) -> Result<Self, Problem> {
        let name = folder.display();
        let unread =
            |e| format!("{name}: expected a folder to write to, and could not read it: {e}");
        let entries = match fs::read_dir(folder) {
            Err(e) if e.kind() == io::ErrorKind::NotFound => None,
            other => Some(other.map_err(unread)?),
        };
        let mut tables = Vec::new();
        for entry in entries.into_iter().flatten() {
            let file = entry.map_err(unread)?.file_name().to_string_lossy().into_owned();
            if ALL.contains(&&*file) {
                tables.push(file);
            } else if !file.starts_with(UNFINISHED) {
                return Err(foreign(folder, &file));
            }
        }
        match tables.iter().min() {
            Some(file) if !is_of_grades(&folder.join(JSON)) => Err(foreign(folder, file)),
            _ => Ok(Self { folder: folder.into() }),
        }
    }

    /// Writes all of them. Whoever reads one meanwhile has the old one or the new one.
    pub(super) fn write(&self, report: &Report) -> Result<(), Problem> {
        let rows = report.learners;
        fs::create_dir_all(&self.folder).map_err(|e| {
            format!("{}: expected to make this folder, and could not: {e}", self.folder.display())
        })?;
        self.put(CSV, |to| to.write_all(class_to_csv(rows).as_bytes()))?;
        self.put(LINES, |to| {
            rows.iter().try_for_each(|row| {
                serde_json::to_writer(&mut *to, row)?;
                to.write_all(b"\n")
            })
        })?;
        self.put(PARQUET, |to| write_parquet(rows, to))?;
        self.put(JSON, |to| to.write_all((to_json(report) + "\n").as_bytes()))
    }

    /// The names of the files, to be read.
    pub(super) fn names(&self) -> String {
        ALL.map(|name| self.folder.join(name).display().to_string()).join(", ")
    }

    fn put(
        &self,
        name: &str,
        write: impl FnOnce(&mut BufWriter<&mut NamedTempFile>) -> io::Result<()>,
    ) -> Result<(), Problem> {
        let path = self.folder.join(name);
        let put = || {
            let mut file = unfinished().tempfile_in(&self.folder)?;
            let mut to = BufWriter::new(&mut file);
            write(&mut to)?;
            to.flush()?;
            drop(to);
            file.as_file().sync_all()?;
            file.persist(&path)?;
            Ok(())
        };
        put().map_err(|e: io::Error| {
            format!("{}: expected to write it, and could not: {e}", path.display())
        })
    }
}

/// A file that gets its name once it is whole, for everyone to read whom the system lets.
fn unfinished() -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(UNFINISHED);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

/// Whether a file is the report that `grade` writes.
fn is_of_grades(path: &Path) -> bool {
    #[derive(Deserialize)]
    struct Kind {
        format: String,
    }
    let text = fs::read_to_string(path).unwrap_or_default();
    from_json::<Kind>(&text).is_ok_and(|kind| kind.format == FORMAT)
}

fn foreign(folder: &Path, file: &str) -> Problem {
    format!(
        "{}: expected --out to be a folder for grades alone, and found this file, which may be somebody's work",
        folder.join(file).display()
    )
}
