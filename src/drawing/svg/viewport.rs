//! What the outermost element says of lengths, and what an inner one does to them.

use super::length::{Along, Viewport, length, pixels};
use crate::drawing::unit::UnitSaid;
use kurbo::{Affine, Vec2};
use roxmltree::Node;
use svgtypes::{Align, AspectRatio, Length, ViewBox};

/// Difference of two scales that counts as a contradiction, as a share.
const SAME_SCALE: f64 = 1e-3;

/// The attribute `viewBox`.
///
/// # Errors
/// If it is there and is none.
pub(super) fn view_box(node: Node) -> Result<Option<ViewBox>, String> {
    let Some(text) = node.attribute("viewBox") else { return Ok(None) };
    let wrong = |_| format!("viewBox: expected four numbers, and found {text:?}");
    text.parse().map(Some).map_err(wrong)
}

/// The unit, from the size of the whole: with a view box, mm of its width and height for theirs in the
/// box; a size in pixels says nothing. Without one, a size in mm or inches says that a unit is a pixel.
pub(super) fn unit(svg: Node, view_box: Option<ViewBox>) -> UnitSaid {
    let mm = |name: &str| {
        let length: Length = svg.attribute(name)?.trim().parse().ok()?;
        let absolute =
            !matches!(length.unit, svgtypes::LengthUnit::None | svgtypes::LengthUnit::Px);
        let pixels = pixels(length.unit).filter(|_| absolute)?;
        Some(length.number * pixels * 25.4 / 96.0).filter(|mm| *mm > 0.0)
    };
    let (width, height) = (mm("width"), mm("height"));
    let Some(view_box) = view_box else {
        let some = width.or(height);
        return some.map_or(UnitSaid::Nothing, |_| UnitSaid::Mm(25.4 / 96.0));
    };
    match (width.map(|w| w / view_box.w), height.map(|h| h / view_box.h)) {
        (Some(a), Some(b)) if (a - b).abs() > SAME_SCALE * a.max(b) => {
            UnitSaid::Contradiction(a, b)
        }
        (Some(scale), _) | (None, Some(scale)) => UnitSaid::Mm(scale),
        (None, None) => UnitSaid::Nothing,
    }
}

/// What percentages within the outermost element go by.
pub(super) fn outermost(svg: Node, view_box: Option<ViewBox>) -> Viewport {
    match view_box {
        Some(view_box) => [view_box.w, view_box.h],
        None => ["width", "height"]
            .map(|name| length(svg, name, Along::X, [0.0; 2]).ok().flatten().unwrap_or(0.0)),
    }
}

/// From the coordinates within an inner `svg` or a `symbol` to those around it, and what percentages
/// within it go by. `size` is its width and height as they are around it.
///
/// # Errors
/// If an attribute of it cannot be read.
pub(super) fn inner(node: Node, size: Viewport) -> Result<(Affine, Viewport), String> {
    let Some(view_box) = view_box(node)? else { return Ok((Affine::IDENTITY, size)) };
    let aspect = match node.attribute("preserveAspectRatio") {
        None => AspectRatio::default(),
        Some(text) => text.parse().map_err(|e| format!("preserveAspectRatio: {e}"))?,
    };
    let (sx, sy) = (size[0] / view_box.w, size[1] / view_box.h);
    let to_origin = Affine::translate(Vec2::new(-view_box.x, -view_box.y));
    let within = [view_box.w, view_box.h];
    if aspect.align == Align::None {
        return Ok((Affine::scale_non_uniform(sx, sy) * to_origin, within));
    }
    let scale = if aspect.slice { sx.max(sy) } else { sx.min(sy) };
    let (x, y) = shares(aspect.align);
    let left_over = Vec2::new(size[0] - view_box.w * scale, size[1] - view_box.h * scale);
    let moved = Affine::translate(Vec2::new(left_over.x * x, left_over.y * y));
    Ok((moved * Affine::scale(scale) * to_origin, within))
}

/// Which share of what is left over lies before the box, along X and Y.
fn shares(align: Align) -> (f64, f64) {
    match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}
