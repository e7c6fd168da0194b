//! Zip archives that come out the same each time.

use crate::files::{Files, Problem};
use std::io::{Cursor, Write as _};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// An archive of these files. Every time in it is the first that the format knows.
pub(crate) fn zip(files: &Files) -> Result<Vec<u8>, Problem> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(9))
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer
            .start_file(name.as_str(), options)
            .map_err(|e| format!("{name}: not archived: {e}"))?;
        writer.write_all(bytes).map_err(|e| format!("{name}: not archived: {e}"))?;
    }
    let archive = writer.finish().map_err(|e| format!("the archive was not written: {e}"))?;
    Ok(archive.into_inner())
}
