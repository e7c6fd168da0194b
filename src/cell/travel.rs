use super::engine::Cell;
use super::obstacle::Obstacle;
use super::wire::CRASH_BEND_MM;
use crate::geometry::{Bounds, Point3, UprightNozzle, UprightWire, Vector3, polyline};
use serde::Serialize;

/// A wire nearer than this to a body touches it, mm: a thousandth of the touch repeatability.
pub const TOUCHING_MM: f64 = 1e-4;

/// Depth by which a wire that touches at the start may press deeper, mm: it is elastic.
const GIVE_MM: f64 = 0.001;
/// Greatest distance a wire that touches at the start may be dragged along a face, mm
/// (common practice, no source).
pub const MAX_DRAG_MM: f64 = 2.0;
/// Sine of the angle between path and face above which a touching wire moves away from the face;
/// it may then slide along it for any distance.
const AWAY: f64 = 0.02;
/// Sine of the downward slope above which a path counts as going down.
const LEVEL: f64 = 1e-3;
/// Least step in the search for the place where a touching wire comes free, mm.
const MIN_STEP_MM: f64 = 0.1;

/// The part of the torch that hit something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TorchPart {
    /// The wire.
    Wire,
    /// The nozzle.
    Nozzle,
}

/// Contact that is allowed on a move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AllowedContact {
    /// None: travel moves.
    Nothing,
    /// The wire may touch the part: moves of a weld.
    WireOnPart,
}

/// A crash.
#[derive(Debug, Clone, PartialEq)]
pub struct Crash {
    /// Distance along the path, mm.
    pub along: f64,
    /// The torch point there, work frame, mm.
    pub at: Point3<f64>,
    /// Name of the body hit.
    pub body: String,
    /// The part of the torch that hit it.
    pub by: TorchPart,
    /// Added displacement of the wire tip, work frame, mm; zero if the nozzle hit.
    pub bend: Vector3<f64>,
}

impl Cell {
    /// The first crash of wire or nozzle with part, clamps or table along a path of torch points.
    ///
    /// A wire that touches a body at the start (after a touch, or after a weld) may move away from it:
    /// without pressing deeper, and without being dragged along by more than [`MAX_DRAG_MM`]. Once
    /// free, it may not touch again.
    pub fn travel(&self, path: &[Point3<f64>], allow: AllowedContact) -> Option<Crash> {
        let start = path.first()?;
        let (wire, nozzle) = (self.wire_at(start), self.nozzle_at(start));
        let range = Bounds::around(path);
        let around =
            |b: Bounds| Bounds { lo: b.lo + (range.lo - start), hi: b.hi + (range.hi - start) };
        let (wire_bounds, nozzle_bounds) =
            (around(wire.bounds()).grown(TOUCHING_MM), around(nozzle.bounds()));
        let mut hit: Option<(f64, Obstacle<'_>, TorchPart)> = None;
        for o in self.obstacles() {
            let limit = hit.map_or(f64::INFINITY, |h| h.0);
            if !(allow == AllowedContact::WireOnPart && o.on_part)
                && o.may_meet(&wire_bounds)
                && let Some(along) = wire_hit(&o, &wire, path)
                && along < limit
            {
                hit = Some((along, o, TorchPart::Wire));
            }
            let limit = hit.map_or(f64::INFINITY, |h| h.0);
            if o.may_meet(&nozzle_bounds)
                && let Some(along) = nozzle_hit(&o, &nozzle, path)
                && along < limit
            {
                hit = Some((along, o, TorchPart::Nozzle));
            }
        }
        let (along, o, by) = hit?;
        let at = polyline::point_at(path, along);
        let bend = match by {
            TorchPart::Wire => self.crash_bend(path, along),
            TorchPart::Nozzle => Vector3::zeros(),
        };
        Some(Crash { along, at, body: o.name.into(), by, bend })
    }

    /// The tip is bent backwards: against the direction of travel on the plan; away from the arm for a
    /// vertical move.
    fn crash_bend(&self, path: &[Point3<f64>], along: f64) -> Vector3<f64> {
        let [bx, by] = self.part().arm_base;
        let mut left = along;
        let mut way = Vector3::zeros();
        for (a, b) in legs(path) {
            way = b - a;
            left -= way.norm();
            if left <= 0.0 {
                break;
            }
        }
        way.z = 0.0;
        let away = Vector3::new(path[0].x - bx, path[0].y - by, 0.0);
        let lag = (-way).try_normalize(1e-6).or_else(|| away.try_normalize(1e-6));
        lag.unwrap_or_else(Vector3::x) * CRASH_BEND_MM
    }
}

/// The segments of a path with a length above zero.
fn legs(path: &[Point3<f64>]) -> impl Iterator<Item = (Point3<f64>, Point3<f64>)> {
    path.windows(2).map(|w| (w[0], w[1])).filter(|(a, b)| a != b)
}

/// A wire that has been touching since the move began.
struct TouchingWire {
    /// Radius of the part of the wire that was clear of the body at the start, mm; `None` if its axis
    /// was inside.
    clear_radius: Option<f64>,
    /// Distance dragged so far, mm.
    dragged_mm: f64,
}

/// First crash of the wire with an obstacle: distance along the path, mm.
fn wire_hit(o: &Obstacle<'_>, at_start: &UprightWire, path: &[Point3<f64>]) -> Option<f64> {
    let touching = at_start.radius + TOUCHING_MM;
    let mut touching_wire = o.axis_nearness(at_start, touching).map(|n| TouchingWire {
        clear_radius: (n.distance > GIVE_MM).then_some(n.distance - GIVE_MM),
        dragged_mm: 0.0,
    });
    let mut gone = 0.0;
    for (a, b) in legs(path) {
        let wire = at_start.moved(&(a - path[0]));
        let length = (b - a).norm();
        let d = (b - a) / length;
        let mut free_from = 0.0;
        if let Some(c) = &mut touching_wire {
            match come_free(o, &wire, &d, length, c) {
                Release::Crash(t) => return Some(gone + t),
                Release::Free(t) => {
                    free_from = t;
                    touching_wire = None;
                }
                Release::StillTouching => {
                    gone += length;
                    continue;
                }
            }
        }
        let wire = wire.moved(&(d * free_from));
        if let Some(c) = o.first_contact(&wire, &d, length - free_from) {
            return Some(gone + free_from + c.travel);
        }
        gone += length;
    }
    None
}

/// How a touching wire fares on one segment; distances along it, mm.
enum Release {
    Free(f64),
    StillTouching,
    Crash(f64),
}

fn come_free(
    o: &Obstacle<'_>,
    wire: &UprightWire,
    d: &Vector3<f64>,
    length: f64,
    c: &mut TouchingWire,
) -> Release {
    let touching = wire.radius + TOUCHING_MM;
    let Some(near) = o.axis_nearness(wire, touching) else { return Release::Free(0.0) };
    let away = d.dot(&near.normal) > AWAY;
    let sideways = if away { 0.0 } else { d.xy().norm() };
    let drag_left = (MAX_DRAG_MM - c.dragged_mm) / sideways.max(f64::MIN_POSITIVE);
    // Pressing deeper: the clear part of the wire meets the body, or a tip inside the body goes down.
    let deeper = match c.clear_radius {
        Some(radius) => {
            let thin = UprightWire { radius, ..*wire };
            o.first_contact(&thin, d, length.min(drag_left)).map(|c| c.travel)
        }
        None => (!away && d.z < -LEVEL).then_some(0.0),
    };
    let limit = deeper.unwrap_or(length).min(drag_left);
    let mut t = 0.0;
    // The distance grows by at most the travel: no step passes the place where the wire comes free.
    loop {
        let Some(near) = o.axis_nearness(&wire.moved(&(d * t)), touching) else {
            return Release::Free(t);
        };
        if t >= limit {
            break;
        }
        t = (t + (touching - near.distance).max(MIN_STEP_MM)).min(limit);
    }
    if deeper.is_some() || drag_left < length {
        return Release::Crash(limit);
    }
    c.dragged_mm += sideways * length;
    Release::StillTouching
}

/// First crash of the nozzle with an obstacle: distance along the path, mm.
fn nozzle_hit(o: &Obstacle<'_>, at_start: &UprightNozzle, path: &[Point3<f64>]) -> Option<f64> {
    let mut nozzle = *at_start;
    if o.touches_nozzle(&nozzle) {
        // An earlier crash may have left it just touching.
        nozzle.radius -= GIVE_MM;
        nozzle.rim.z += GIVE_MM;
        if o.touches_nozzle(&nozzle) {
            return Some(0.0);
        }
    }
    let mut gone = 0.0;
    for (a, b) in legs(path) {
        let length = (b - a).norm();
        let moved = nozzle.moved(&(a - path[0]));
        if let Some(c) = o.first_nozzle_contact(&moved, &((b - a) / length), length) {
            return Some(gone + c.travel);
        }
        gone += length;
    }
    None
}
