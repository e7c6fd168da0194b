//! Strokes that are drawn on the plan with a mouse.

use super::aim::Aim;
use kurbo::Vec2;
use nudgeproof::geometry::Vector3;

/// Shorter strokes are presses, pixels.
const STILL: f64 = 6.0;

/// Whether a stroke as drawn, pixels, is one, and not a press.
pub(crate) fn is_stroke(by: Vec2) -> bool {
    by.hypot() >= STILL
}

/// The direction of the feel that a stroke stands for: the axis nearest to it. `None` for a press.
pub(crate) fn stroke_aim(by: Vec2) -> Option<Aim> {
    is_stroke(by).then(|| Aim::nearest(&Vector3::new(by.x, -by.y, 0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stroke_feels_along_the_axis_it_runs_along() {
        let aim = |x, y| stroke_aim(Vec2::new(x, y));
        assert_eq!(aim(20.0, -6.0), Some(Aim::PlusX), "to the right");
        assert_eq!(aim(-20.0, 6.0), Some(Aim::MinusX), "to the left");
        assert_eq!(aim(3.0, -12.0), Some(Aim::PlusY), "up the page");
        assert_eq!(aim(3.0, 12.0), Some(Aim::MinusY), "down the page");
        assert_eq!(aim(3.0, 4.0), None, "a press");
    }
}
