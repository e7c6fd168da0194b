//! Files packed in advance, as a web server hands them out.

use crate::files::Problem;
use std::io::Write as _;
use std::path::Path;

/// Files smaller than this are handed out as they are: packing saves nothing that a network would notice.
const WORTH_PACKING: usize = 256;

/// Whether it is worth while to pack a file of this name.
fn packs(name: &str, bytes: &[u8]) -> bool {
    bytes.len() >= WORTH_PACKING && Path::new(name).extension().is_none_or(|end| end != "png")
}

/// The file in both packings, with their names; nothing where packing saves nothing.
pub(crate) fn packings(name: &str, bytes: &[u8]) -> Result<Vec<(String, Vec<u8>)>, Problem> {
    if !packs(name, bytes) {
        return Ok(Vec::new());
    }
    Ok(vec![
        (format!("{name}.br"), brotli(name, bytes)?),
        (format!("{name}.gz"), gzip(name, bytes)?),
    ])
}

/// By brotli (RFC 7932), as small as it gets.
fn brotli(name: &str, bytes: &[u8]) -> Result<Vec<u8>, Problem> {
    let mut packed = Vec::new();
    let mut writer = brotli::CompressorWriter::new(&mut packed, 1 << 16, 11, 22);
    writer
        .write_all(bytes)
        .and_then(|()| writer.flush())
        .map_err(|e| format!("{name}: not packed: {e}"))?;
    drop(writer);
    Ok(packed)
}

/// By gzip (RFC 1952), without a name or a time in it.
pub(crate) fn gzip(name: &str, bytes: &[u8]) -> Result<Vec<u8>, Problem> {
    let mut writer = flate2::GzBuilder::new().write(Vec::new(), flate2::Compression::best());
    writer
        .write_all(bytes)
        .and_then(|()| writer.finish())
        .map_err(|e| format!("{name}: not packed: {e}"))
}
