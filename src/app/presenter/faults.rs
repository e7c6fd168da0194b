//! The faults that can be planted, each with values that suit the part.

use crate::app::i18n::Key;
use nudgeproof::cell::{Body, Fault, ModelTouch, Part, parts};
use nudgeproof::geometry::{Point2, PoseFile, Vector2, Vector3};
use nudgeproof::session::State;

/// A kind of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FaultKind {
    PaintedEdge,
    ClampMoved,
    OutOfSquare,
    WireBent,
    StickOutChanged,
    ProbingSpeedChanged,
    PartSlips,
    ReferenceMoved,
    WrongPart,
}

impl FaultKind {
    pub(crate) const ALL: [Self; 9] = [
        Self::PaintedEdge,
        Self::ClampMoved,
        Self::OutOfSquare,
        Self::WireBent,
        Self::StickOutChanged,
        Self::ProbingSpeedChanged,
        Self::PartSlips,
        Self::ReferenceMoved,
        Self::WrongPart,
    ];

    /// Its name in session files, and the value of its choice in the list.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::PaintedEdge => "painted-edge",
            Self::ClampMoved => "clamp-moved",
            Self::OutOfSquare => "out-of-square",
            Self::WireBent => "wire-bent",
            Self::StickOutChanged => "stick-out-changed",
            Self::ProbingSpeedChanged => "probing-speed-changed",
            Self::PartSlips => "part-slips-mid-run",
            Self::ReferenceMoved => "reference-on-moved-part",
            Self::WrongPart => "wrong-part",
        }
    }

    /// Its name on screen.
    pub(crate) fn label(self) -> Key {
        match self {
            Self::PaintedEdge => Key::FaultPaint,
            Self::ClampMoved => Key::FaultClamp,
            Self::OutOfSquare => Key::FaultSquare,
            Self::WireBent => Key::FaultWire,
            Self::StickOutChanged => Key::FaultStickOut,
            Self::ProbingSpeedChanged => Key::FaultSpeed,
            Self::PartSlips => Key::FaultSlip,
            Self::ReferenceMoved => Key::FaultReference,
            Self::WrongPart => Key::FaultWrongPart,
        }
    }

    pub(crate) fn of(fault: &Fault) -> Self {
        match fault {
            Fault::PaintedEdge { .. } => Self::PaintedEdge,
            Fault::ClampMoved { .. } => Self::ClampMoved,
            Fault::OutOfSquare { .. } => Self::OutOfSquare,
            Fault::WireBent { .. } => Self::WireBent,
            Fault::StickOutChanged { .. } => Self::StickOutChanged,
            Fault::ProbingSpeedChanged { .. } => Self::ProbingSpeedChanged,
            Fault::PartSlipsMidRun { .. } => Self::PartSlips,
            Fault::ReferenceOnMovedPart { .. } => Self::ReferenceMoved,
            Fault::WrongPart { .. } => Self::WrongPart,
        }
    }
}

/// How deep the wire presses into the paint, mm: more than the usual tolerance of a seam.
const PAINT_DEPTH: f64 = 1.5;
/// How far the paint reaches to each side of the touch, mm.
const PAINT_REACH: f64 = 30.0;
/// How far a clamp is moved past the start of a search, mm: enough to be hit.
const OVERLAP: f64 = 3.0;

/// The fault with values that suit the part; `None` if the part has nothing to apply it to.
pub(crate) fn fault_for(kind: FaultKind, state: &State) -> Option<Fault> {
    let part = &*state.part;
    Some(match kind {
        FaultKind::PaintedEdge => part.model_touches.iter().find_map(|t| painted(part, t))?,
        FaultKind::ClampMoved => clamp_in_the_way(part)?,
        FaultKind::OutOfSquare => Fault::OutOfSquare { lean_deg: 0.5 },
        FaultKind::WireBent => Fault::WireBent { bend: Vector3::new(1.5, 1.0, 0.0) },
        FaultKind::StickOutChanged => {
            Fault::StickOutChanged { stick_out_mm: state.settings.stick_out_mm + 3.0 }
        }
        // Ten times the usual speed: the latency of the readings then shows.
        FaultKind::ProbingSpeedChanged => Fault::ProbingSpeedChanged { speed_mm_s: 200.0 },
        FaultKind::PartSlips => Fault::PartSlipsMidRun { slip: slide(2.0, 1.5) },
        FaultKind::ReferenceMoved => {
            let play = part.play;
            Fault::ReferenceOnMovedPart { part: slide(play.dx / 2.0, play.dy / 3.0) }
        }
        FaultKind::WrongPart => Fault::WrongPart { part: look_alike(part)? },
    })
}

fn slide(dx: f64, dy: f64) -> PoseFile {
    PoseFile { dx, dy, ..PoseFile::default() }
}

/// Paint where this touch lands; `None` for a touch from above.
fn painted(part: &Part, touch: &ModelTouch) -> Option<Fault> {
    let (from, v) = (touch.from.xy(), Vector2::new(touch.direction[0], touch.direction[1]));
    if v.norm() < 0.5 {
        return None;
    }
    let high = |b: &&Body| b.z[0] <= touch.from.z && touch.from.z <= b.z[1];
    let hits = part.bodies.iter().filter(high).flat_map(|b| {
        let n = b.outline.corners.len();
        (0..n).filter_map(move |i| {
            let (a, c) = (b.outline.corners[i].at, b.outline.corners[(i + 1) % n].at);
            let (distance, along) = ray_meets_edge(from, v, a, c)?;
            Some((distance, along, (c - a).norm(), i, &b.name))
        })
    });
    let (_, along, length, edge, body) = hits.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Fault::PaintedEdge {
        body: body.clone(),
        edge,
        from_mm: (along - PAINT_REACH).max(0.0),
        to_mm: (along + PAINT_REACH).min(length),
        depth_mm: PAINT_DEPTH,
    })
}

/// Where a ray from `from` along the unit vector `v` meets the edge from `a` to `b`: distances along
/// the ray and along the edge, mm.
fn ray_meets_edge(
    from: Point2<f64>,
    v: Vector2<f64>,
    a: Point2<f64>,
    b: Point2<f64>,
) -> Option<(f64, f64)> {
    let (u, w) = (b - a, a - from);
    let det = v.x * -u.y + v.y * u.x;
    if det.abs() < 1e-9 {
        return None;
    }
    let distance = (w.x * -u.y + w.y * u.x) / det;
    let share = (v.x * w.y - v.y * w.x) / det;
    (distance > 0.0 && (0.0..=1.0).contains(&share)).then(|| (distance, share * u.norm()))
}

/// The clamp with the shortest way to the start of a search, moved there.
fn clamp_in_the_way(part: &Part) -> Option<Fault> {
    let sideways = part.model_touches.iter().filter(|t| t.direction[2].abs() < 0.5);
    let moves = sideways.flat_map(|t| {
        // The wire passes over a clamp that is lower.
        let tall = part.clamps.iter().filter(|c| c.z[1] > t.from.z);
        tall.map(move |c| {
            let (low, high) = c.outline.bounds();
            let dx = shift_to_block(t.from.x, t.direction[0], low.x, high.x);
            let dy = shift_to_block(t.from.y, t.direction[1], low.y, high.y);
            (dx, dy, &c.name)
        })
    });
    let (dx, dy, clamp) =
        moves.min_by(|a, b| libm::hypot(a.0, a.1).total_cmp(&libm::hypot(b.0, b.1)))?;
    Some(Fault::ClampMoved { clamp: clamp.clone(), dx, dy })
}

/// Shift along one axis that brings a clamp from `low` to `high` into the way of a search from `at`,
/// mm. Where the search runs along this axis, the clamp ends just past the start, short of the part;
/// else it covers the start.
fn shift_to_block(at: f64, direction: f64, low: f64, high: f64) -> f64 {
    if direction > 0.5 {
        at + OVERLAP - high
    } else if direction < -0.5 {
        at - OVERLAP - low
    } else if at < low + OVERLAP {
        at - low - OVERLAP
    } else if at > high - OVERLAP {
        at - high + OVERLAP
    } else {
        0.0
    }
}

/// The built-in part nearest in size to this one.
fn look_alike(part: &Part) -> Option<String> {
    let size = |p: &Part| {
        let (low, high) = p.bodies.first()?.outline.bounds();
        Some((high - low, p.bodies.first()?.z[1]))
    };
    let (mine, my_top) = size(part)?;
    let others = parts().into_iter().filter(|p| p.name != part.name);
    let far =
        |p: &Part| size(p).map_or(f64::MAX, |(s, top)| (s - mine).norm() + (top - my_top).abs());
    others.min_by(|a, b| far(a).total_cmp(&far(b))).map(|p| p.name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::{Action, Header, Session};

    #[test]
    fn every_fault_can_be_planted_on_every_part_that_it_suits() {
        for part in parts() {
            let name = part.name.clone();
            for kind in FaultKind::ALL {
                let mut session = Session::new(Header::new(part.clone(), 1)).expect("a session");
                let fault = fault_for(kind, session.state());
                if kind == FaultKind::ClampMoved && name == "planter-tub" {
                    // Its clamps are 60 mm tall, and it is touched 84 mm up: over all of them.
                    assert!(fault.is_none(), "{name}: {fault:?} is in no search's way");
                    continue;
                }
                let fault = fault.unwrap_or_else(|| panic!("{name}: no {}", kind.name()));
                assert_eq!(FaultKind::of(&fault), kind, "{name}: another fault");
                let planted = session.act(Action::Plant { fault });
                assert!(planted.is_ok(), "{name}, {}: {planted:?}", kind.name());
            }
        }
    }

    #[test]
    fn paint_lies_where_the_touch_lands() {
        let part = parts().into_iter().find(|p| p.name == "bench-side").expect("a part");
        // By hand: the first touch comes from (50, −16) along +Y and lands 50 mm along edge 0.
        let fault = painted(&part, &part.model_touches[0]).expect("it lands on an edge");
        let Fault::PaintedEdge { body, edge: 0, from_mm, to_mm, .. } = fault else {
            panic!("{fault:?}")
        };
        assert_eq!((body.as_str(), from_mm, to_mm), ("side plate", 20.0, 80.0), "30 mm each side");
    }

    #[test]
    fn the_short_side_plate_passes_for_the_long_one() {
        let part = parts().into_iter().find(|p| p.name == "bench-side").expect("a part");
        assert_eq!(look_alike(&part).as_deref(), Some("bench-side-short"), "nearest in size");
    }
}
