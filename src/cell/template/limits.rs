//! Limits of dimensions. They keep the part so that its model routine lands wherever the part may lie.

use super::{Dimension as D, Draft, DraftError, Template as T};

/// What is out of its limits by less, mm or degrees, was typed in thousandths of an inch.
const SLACK: f64 = 0.02;
/// Greatest way of a touched face from its drawn place along the search, mm: a search reaches 30 mm, and
/// starts far enough off not to touch the part where that lies nearest.
pub(super) const FACE_OFF: f64 = 11.5;
/// Least way from an outer edge to what stands up from the part, mm: a nozzle of 24 mm that feels the edge
/// has room.
pub(super) const FROM_EDGE: f64 = 20.0;
/// Shortest piece that is welded on, mm.
pub(super) const PIECE: f64 = 60.0;
/// Highest piece past which a nozzle that feels beside it needs no room, mm.
const LOW_PIECE: f64 = 12.0;
/// Least way from a search from above to a higher piece, mm.
const BESIDE_PIECE: f64 = 26.0;
/// Least way from there to the edge of the part, mm.
const ON_TOP: f64 = 2.0;
/// Greatest height of what stands up, mm: the model routine crosses it 48 mm above the seam.
const HIGH_PIECE: f64 = 40.0;

impl Draft {
    /// The least and the greatest value a dimension may have beside those filled in before it, mm or degrees,
    /// rounded inwards to what one would type.
    pub fn limits(&self, dimension: D) -> [f64; 2] {
        let [low, high] = exact(self, dimension);
        let per_unit = if dimension.is_angle() { 100.0 } else { 10.0 };
        // 0.1 is none of the numbers a computer has: what is a tenth but for the last bit counts as one.
        let slack = 1e-9;
        let low = (low * per_unit - slack).ceil() / per_unit;
        // No minus zero.
        [low + 0.0, (high * per_unit + slack).floor() / per_unit]
    }

    /// Whether a dimension is out of its limits.
    pub fn is_wrong(&self, dimension: D) -> bool {
        let ([low, high], found) = (self.limits(dimension), self.value(dimension));
        !(low - SLACK <= found && found <= high + SLACK)
    }

    /// Every dimension that is out of its limits, in order.
    pub fn errors(&self) -> Vec<DraftError> {
        let error = |(dimension, _): (D, f64)| {
            let ([low, high], found) = (self.limits(dimension), self.value(dimension));
            let error = DraftError::Dimension { dimension, low, high, found };
            self.is_wrong(dimension).then_some(error)
        };
        self.template.dimensions().into_iter().filter_map(error).collect()
    }
}

fn exact(draft: &Draft, dimension: D) -> [f64; 2] {
    let v = |d| draft.value(d);
    let template = draft.template;
    match dimension {
        D::Length => [if template == T::Frame { 140.0 } else { 120.0 }, 2000.0],
        D::Width => match template {
            T::Frame => [140.0, 1000.0],
            T::Tube => [80.0, 300.0],
            _ => [80.0, 1000.0],
        },
        D::Thickness => match template {
            T::Tube => [20.0, 100.0],
            T::Butt => [6.0, 10.0],
            _ => [4.0, 50.0],
        },
        D::MemberWidth => [50.0, (v(D::Length).min(v(D::Width)) - 40.0) / 2.0],
        D::BarWidth => [30.0, 300.0],
        D::Gap => [8.0, 16.0],
        D::HoleDiameter => [8.0, (v(D::Width) - 30.0).min(v(D::Length) - PIECE - 40.4)],
        D::HoleFromRight => {
            let half = v(D::HoleDiameter) / 2.0;
            [half + 10.0, v(D::Length) - FROM_EDGE - PIECE - 10.2 - half]
        }
        D::PieceThickness => match template {
            T::Lap => [1.0, 5.0],
            T::Angle => [2.0, 5.0],
            T::Frame => [3.0, 10.0],
            _ => [3.0, 20.0],
        },
        D::PieceHeight => [if template == T::Angle { 15.0 } else { 5.0 }, HIGH_PIECE],
        D::PieceFromFront => [
            FROM_EDGE,
            v(D::Width)
                - match template {
                    T::Lap => 40.0,
                    T::Angle => 30.0,
                    _ => v(D::PieceThickness),
                },
        ],
        D::PieceWidth => {
            let room = v(D::Width) - v(D::PieceFromFront);
            if template == T::Angle { [20.0, room.min(100.0)] } else { [40.0, room] }
        }
        D::PieceFromLeft => [FROM_EDGE, right_end(draft) - PIECE],
        D::PieceLength => [PIECE, right_end(draft) - v(D::PieceFromLeft)],
        // A nozzle of 24 mm at 15 mm stick-out then clears both sides by 1.1 mm in a corner, by 0.7 mm
        // above a sheet of 5 mm, and what is beside a groove by 2.7 mm.
        D::WorkAngle => match template {
            T::Rail | T::Frame | T::Tube => [42.0, 48.0],
            T::Angle | T::Lap => [20.0, 34.0],
            T::Butt => [0.0, 5.0],
        },
        D::Tolerance => [0.2, 5.0],
        D::PlayY if template == T::Butt => [0.5, v(D::Gap) / 2.0 - 2.3],
        D::PlayX | D::PlayY => [0.5, 8.0],
        D::PlayTurn => [0.0, most_turn(draft)],
        D::PlayHeight => [0.0, most_height(draft)],
        D::ClampDistance => [15.0, 100.0],
        D::ClampHeight => [10.0, 80.0],
    }
}

/// Along Y, of the whole part, mm.
pub(super) fn width(draft: &Draft) -> f64 {
    match draft.template {
        T::Butt => 2.0 * draft.value(D::BarWidth) + draft.value(D::Gap),
        _ => draft.value(D::Width),
    }
}

/// How far to the right a piece may reach that is welded on, mm.
fn right_end(draft: &Draft) -> f64 {
    let v = |d| draft.value(d);
    match draft.template {
        T::Tube => v(D::Length) - v(D::HoleFromRight) - v(D::HoleDiameter) / 2.0 - 10.0,
        _ => v(D::Length) - FROM_EDGE,
    }
}

/// Greatest turn, degrees: the ends of a long face swing out furthest.
fn most_turn(draft: &Draft) -> f64 {
    let v = |d| draft.value(d);
    let (dx, dy) = (v(D::PlayX), v(D::PlayY));
    let room = if draft.template == T::Butt { v(D::Gap) / 2.0 - 2.1 - dy } else { FACE_OFF - dy };
    let front = room / (v(D::Length) / 2.0 + dx);
    let tangent = front.min((FACE_OFF - dx) / (width(draft) / 2.0 + dy));
    libm::atan(tangent).to_degrees().min(3.0)
}

/// Greatest play in height, mm: a touch from the side stays on its face, and one from above finds room.
fn most_height(draft: &Draft) -> f64 {
    let v = |d| draft.value(d);
    let most = (v(D::Thickness) / 2.0 - 1.0).min(3.0);
    let high = v(D::PieceHeight) > LOW_PIECE;
    match draft.template {
        T::Rail | T::Angle | T::Tube => {}
        // On its left member, between the ends of two ribs.
        T::Frame if high => return 0.0,
        T::Frame | T::Lap | T::Butt => return most,
    }
    let turn = libm::tan(v(D::PlayTurn).to_radians());
    let swing = (above_x(draft) - v(D::Length) / 2.0).abs() + v(D::PlayX);
    let front = v(D::PieceFromFront);
    let falls_off = front / 2.0 < v(D::PlayY) + swing * turn + ON_TOP;
    let meets_piece = front < 2.0 * BESIDE_PIECE && high;
    if falls_off || meets_piece { 0.0 } else { most }
}

/// Where along X the top is felt in front of what is welded on: as near to the middle of the part as a hole
/// allows.
pub(super) fn above_x(draft: &Draft) -> f64 {
    let v = |d| draft.value(d);
    let middle = v(D::Length) / 2.0;
    if draft.template == T::Tube {
        middle.min(v(D::PieceFromLeft) + v(D::PieceLength))
    } else {
        middle
    }
}
