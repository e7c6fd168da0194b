use roxmltree::Node;
use svgtypes::{Length, LengthUnit};

/// Width and height that percentages go by, user units.
pub(super) type Viewport = [f64; 2];

/// Which of them a percentage goes by: along X, along Y, or the diagonal over √2 (SVG 2, section 8.9).
#[derive(Debug, Clone, Copy)]
pub(super) enum Along {
    X,
    Y,
    Both,
}

/// User units in one unit of a length: a user unit is a pixel, 96 of which are an inch (CSS Values and
/// Units, Level 3, section 6.2). `None` of a percentage and of what goes by the size of letters.
pub(super) fn pixels(unit: LengthUnit) -> Option<f64> {
    Some(match unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::In => 96.0,
        LengthUnit::Cm => 96.0 / 2.54,
        LengthUnit::Mm => 96.0 / 25.4,
        LengthUnit::Pt => 96.0 / 72.0,
        LengthUnit::Pc => 16.0,
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return None,
    })
}

/// An attribute as a length, if the element has it and it is not `auto`.
///
/// # Errors
/// If it is something else.
pub(super) fn length(
    node: Node,
    name: &str,
    along: Along,
    viewport: Viewport,
) -> Result<Option<f64>, String> {
    let Some(text) = node.attribute(name).filter(|text| text.trim() != "auto") else {
        return Ok(None);
    };
    let wrong = || format!("{name}: expected a length, and found {text:?}");
    let length: Length = text.trim().parse().map_err(|_| wrong())?;
    let [w, h] = viewport;
    let user = match (pixels(length.unit), length.unit, along) {
        (Some(pixels), ..) => length.number * pixels,
        (None, LengthUnit::Percent, Along::X) => length.number / 100.0 * w,
        (None, LengthUnit::Percent, Along::Y) => length.number / 100.0 * h,
        (None, LengthUnit::Percent, Along::Both) => {
            length.number / 100.0 * (f64::midpoint(w * w, h * h)).sqrt()
        }
        _ => return Err(format!("{name}: lengths by the size of letters are not read")),
    };
    if user.abs() <= 1e12 { Ok(Some(user)) } else { Err(wrong()) }
}
