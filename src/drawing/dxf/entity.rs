//! One entity, read by the crate `dxf`.
//!
//! That crate ends a drawing silently at an entity it cannot read, leaves out kinds it does not know, and
//! takes what is missing for zero. So each entity is given to it alone, once its pairs have been looked
//! through.

use super::records::{Record, quoted};
use crate::drawing::remark::Why;
use dxf::Drawing;
use dxf::entities::EntityType;

/// Kinds that are read, with the groups that they cannot do without.
const READ: [(&str, &[i32]); 8] = [
    ("LINE", &[10, 20, 11, 21]),
    ("LWPOLYLINE", &[10, 20]),
    ("POLYLINE", &[]),
    ("ARC", &[10, 20, 40, 50, 51]),
    ("CIRCLE", &[10, 20, 40]),
    ("ELLIPSE", &[10, 20, 11, 21, 40]),
    ("SPLINE", &[71]),
    ("INSERT", &[2]),
];
const WORDS: [&str; 5] = ["TEXT", "MTEXT", "ATTRIB", "ATTDEF", "RTEXT"];

/// The entity that these records are: one, or a `POLYLINE` with its vertices.
pub(super) fn entity(records: &[Record]) -> Result<EntityType, Why> {
    let first = &records[0];
    let Some((_, needed)) = READ.iter().find(|(kind, _)| *kind == first.kind) else {
        return Err(if WORDS.contains(&first.kind) { Why::Text } else { Why::Kind });
    };
    if let Some(code) = needed.iter().find(|code| first.value(**code).is_none()) {
        return Err(Why::Broken(format!("it has no group {code}")));
    }
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    for record in records {
        numbers(record)?;
        text.extend(["0\n", record.kind, "\n"]);
        let lone = record.pairs.iter().position(|pair| pair.code == 10).unwrap_or(usize::MAX);
        for (i, pair) in record.pairs.iter().enumerate() {
            // The crate would look for the vertex that a width or a bulge belongs to.
            let before = record.kind == "LWPOLYLINE" && i < lone;
            if before && matches!(pair.code, 20 | 40..=42 | 91) {
                return Err(Why::Broken(format!("line {}: expected group 10 first", pair.line)));
            }
            if is_shape(pair.code) {
                text.extend([&pair.code.to_string(), "\n", pair.value, "\n"]);
            }
            // The crate forgets points of a spline that have no Z.
            let next = record.pairs.get(i + 1).map(|next| next.code);
            if record.kind == "SPLINE"
                && matches!(pair.code, 20 | 21)
                && next != Some(pair.code + 10)
            {
                text.extend([&(pair.code + 10).to_string(), "\n0\n"]);
            }
        }
    }
    text += "0\nENDSEC\n0\nEOF\n";
    let read = Drawing::load(&mut text.as_bytes());
    let drawing = read.map_err(|_| Why::Broken("its groups are not those of its kind".into()))?;
    let mut found = drawing.entities();
    match (found.next(), found.next()) {
        (Some(one), None) => counted(first, one.specific.clone()),
        _ => Err(Why::Broken("its groups are not those of its kind".into())),
    }
}

/// Whether a group tells of an entity's shape, rather than of its owner or its colour.
fn is_shape(code: i32) -> bool {
    matches!(code, 2 | 10..=59 | 66 | 70..=79 | 90 | 91 | 210 | 220 | 230)
}

/// Whether what should be numbers are some.
fn numbers(record: &Record) -> Result<(), Why> {
    for pair in record.pairs.iter().filter(|pair| is_shape(pair.code) && pair.code != 2) {
        if !pair.value.parse::<f64>().is_ok_and(|number| number.abs() <= 1e12) {
            let found = quoted(pair.value);
            let place = pair.line;
            return Err(Why::Broken(format!("line {place}: expected a number, and found {found}")));
        }
    }
    Ok(())
}

/// Whether it has as many vertices, knots and control points as it says.
fn counted(record: &Record, entity: EntityType) -> Result<EntityType, Why> {
    let counts: &[(i32, &str, usize)] = match &entity {
        EntityType::LwPolyline(line) => &[(90, "vertices", line.vertices.len())],
        EntityType::Spline(spline) => &[
            (72, "knots", spline.knot_values.len()),
            (73, "control points", spline.control_points.len()),
        ],
        _ => &[],
    };
    for (code, what, found) in counts {
        if let Some(said) = record.number(*code)
            && said != *found as f64
        {
            return Err(Why::Broken(format!("expected {said} {what}, and found {found}")));
        }
    }
    Ok(entity)
}
