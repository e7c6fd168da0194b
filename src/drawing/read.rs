use super::dxf::read_dxf;
use super::error::DrawingError;
use super::outline::{CHORD_MM, area_and_perimeter};
use super::report::{DrawingReport, OpenReport, OutlineReport};
use super::sketch::Sketch;
use super::svg::read_svg;
use super::unit::Unit;
use crate::io::limits::DRAWING_KIB;
use kurbo::Point;

/// Reads a DXF or SVG file; which of them it is shows in what it holds.
///
/// # Errors
/// If it is neither, is broken as a whole, or holds more than it may. An element that cannot be used is
/// no error but a remark.
pub fn read_drawing(bytes: &[u8]) -> Result<Sketch, DrawingError> {
    DRAWING_KIB.check(bytes.len().div_ceil(1024))?;
    let starts = |with: &[u8]| bytes.starts_with(with);
    for (with, found) in [
        (&b"AC10"[..], "a DWG: save it as DXF, as text (ASCII)"),
        (b"%PDF", "a PDF"),
        (b"\x1f\x8b", "a packed file: unpack it first"),
        (b"PK\x03\x04", "a packed file: unpack it first"),
        (b"\x89PNG", "a picture"),
        (b"\xff\xd8\xff", "a picture"),
        (b"GIF8", "a picture"),
        (b"BM", "a picture"),
        (b"\xff\xfe", "text in UTF-16: save it as UTF-8"),
        (b"\xfe\xff", "text in UTF-16: save it as UTF-8"),
    ] {
        if starts(with) {
            return Err(DrawingError::Kind(found));
        }
    }
    // Its first line ends so.
    let binary = b"Binary DXF\r\n\x1a\0";
    if bytes.iter().take(24).any(|byte| *byte == 0)
        && bytes.windows(binary.len()).take(24).any(|w| w == binary)
    {
        return Err(DrawingError::Kind("a binary DXF: save it as text (ASCII)"));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let first = bytes.iter().find(|byte| !byte.is_ascii_whitespace());
    match first {
        None => Err(DrawingError::Empty),
        Some(b'<') => read_svg(bytes),
        Some(byte) if byte.is_ascii_digit() => read_dxf(bytes),
        Some(_) => Err(DrawingError::Kind("neither: a DXF begins with a number, an SVG with <")),
    }
}

/// Reads a drawing and joins its outlines. Where the file leaves its unit in doubt and none is given,
/// the outlines are as if it were mm.
///
/// # Errors
/// As [`read_drawing`] and [`Sketch::outlines`].
pub fn report(bytes: &[u8], unit: Option<Unit>) -> Result<DrawingReport, DrawingError> {
    let sketch = read_drawing(bytes)?;
    let said = sketch.unit;
    let unit_mm = unit.map(Unit::mm).or(said.mm()).unwrap_or(1.0);
    let found = sketch.outlines(unit_mm)?;
    let pairs = |points: &[Point]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
    let mut outlines: Vec<OutlineReport> = Vec::new();
    for closed in &found.closed {
        let polygon = closed.polygon(CHORD_MM);
        let (area_mm2, perimeter_mm) = area_and_perimeter(&closed.polygon(CHORD_MM / 1000.0));
        outlines.push(OutlineReport {
            element: closed.0.element.to_string(),
            area_mm2,
            perimeter_mm,
            gap_mm: closed.0.gap_mm,
            corners: pairs(&polygon),
        });
    }
    outlines.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
    let open = found.open.iter().map(|chain| OpenReport {
        element: chain.element.to_string(),
        open_by_mm: chain.open_by_mm(),
        points: pairs(&chain.points(CHORD_MM)),
    });
    Ok(DrawingReport {
        unit: said,
        unit_mm,
        outlines,
        open: open.collect(),
        forks: pairs(&found.forks),
        remarks: found.remarks,
    })
}
