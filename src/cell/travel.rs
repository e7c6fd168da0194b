use super::engine::Cell;
use super::obstacle::Obstacle;
use super::wire::CRASH_BEND_MM;
use crate::geometry::{Bounds, Point3, UprightNozzle, UprightWire, Vector3, polyline};
use serde::Serialize;

/// A wire nearer than this to a body is touching it, mm: a thousandth of what it can feel.
pub const TOUCHING_MM: f64 = 1e-4;

/// A wire that starts out touching may press deeper by this much, mm: it is springy.
const GIVE: f64 = 0.001;
/// A wire that starts out touching may be dragged along a face this far, mm
/// (common practice, no source).
pub const MAX_DRAG_MM: f64 = 2.0;
/// A wire whose way makes more than this angle with the face it touches comes away from it, sine
/// of the angle; it slides off however long that takes.
const AWAY: f64 = 0.02;
/// Steeper downwards than this counts as going down, sine of the angle.
const LEVEL: f64 = 1e-3;
/// Least step while waiting for a touching wire to come free, mm.
const LEAST_STEP: f64 = 0.1;

/// What of the torch ran into something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TorchPart {
    /// The wire.
    Wire,
    /// The nozzle.
    Nozzle,
}

/// What the wire may touch on a move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AllowedContact {
    /// Nothing: a travel move.
    Nothing,
    /// The part: the moves of a weld.
    WireOnPart,
}

/// A crash.
#[derive(Debug, Clone, PartialEq)]
pub struct Crash {
    /// How far along the path, mm.
    pub along: f64,
    /// The torch point then, mm.
    pub at: Point3<f64>,
    /// What it ran into.
    pub body: String,
    /// With what.
    pub by: TorchPart,
    /// How much further the wire is bent by it, mm; zero if the nozzle hit.
    pub bend: Vector3<f64>,
}

impl Cell {
    /// The first crash of wire or nozzle with part, clamps or table along a path of torch points.
    ///
    /// A wire that touches something at the start (after a touch, or off a weld) does not crash
    /// with it while it comes away: it may not press deeper, nor be dragged along by more than
    /// [`MAX_DRAG_MM`]. Once free, it may not touch again.
    pub fn travel(&self, path: &[Point3<f64>], allow: AllowedContact) -> Option<Crash> {
        let start = path.first()?;
        let (wire, nozzle) = (self.wire_at(start), self.nozzle_at(start));
        let room = Bounds::around(path);
        let around =
            |b: Bounds| Bounds { lo: b.lo + (room.lo - start), hi: b.hi + (room.hi - start) };
        let (wire_room, nozzle_room) =
            (around(wire.bounds()).grown(TOUCHING_MM), around(nozzle.bounds()));
        let mut hit: Option<(f64, Obstacle<'_>, TorchPart)> = None;
        for o in self.obstacles() {
            let limit = hit.map_or(f64::INFINITY, |h| h.0);
            if !(allow == AllowedContact::WireOnPart && o.on_part)
                && o.may_meet(&wire_room)
                && let Some(along) = wire_hit(&o, &wire, path)
                && along < limit
            {
                hit = Some((along, o, TorchPart::Wire));
            }
            let limit = hit.map_or(f64::INFINITY, |h| h.0);
            if o.may_meet(&nozzle_room)
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

    /// The tip stays behind: against the way it went on the plan; away from the arm if it went
    /// straight up or down.
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

/// The stretches of a path that have a length.
fn legs(path: &[Point3<f64>]) -> impl Iterator<Item = (Point3<f64>, Point3<f64>)> {
    path.windows(2).map(|w| (w[0], w[1])).filter(|(a, b)| a != b)
}

/// A wire that has touched since the move began.
struct Cling {
    /// As much of the wire as was clear of the body at the start.
    thin: Option<f64>,
    /// How far it has been dragged along, mm.
    dragged: f64,
}

fn wire_hit(o: &Obstacle<'_>, at_start: &UprightWire, path: &[Point3<f64>]) -> Option<f64> {
    let touching = at_start.radius + TOUCHING_MM;
    let mut cling = o
        .axis_nearness(at_start, touching)
        .map(|n| Cling { thin: (n.distance > GIVE).then_some(n.distance - GIVE), dragged: 0.0 });
    let mut gone = 0.0;
    for (a, b) in legs(path) {
        let wire = at_start.moved(&(a - path[0]));
        let length = (b - a).norm();
        let d = (b - a) / length;
        let mut free_from = 0.0;
        if let Some(c) = &mut cling {
            match come_free(o, &wire, &d, length, c) {
                Parting::Crash(t) => return Some(gone + t),
                Parting::Free(t) => {
                    free_from = t;
                    cling = None;
                }
                Parting::StillTouching => {
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

enum Parting {
    Free(f64),
    StillTouching,
    Crash(f64),
}

fn come_free(
    o: &Obstacle<'_>,
    wire: &UprightWire,
    d: &Vector3<f64>,
    length: f64,
    c: &mut Cling,
) -> Parting {
    let touching = wire.radius + TOUCHING_MM;
    let Some(near) = o.axis_nearness(wire, touching) else { return Parting::Free(0.0) };
    let away = d.dot(&near.normal) > AWAY;
    let sideways = if away { 0.0 } else { d.xy().norm() };
    let drag_left = (MAX_DRAG_MM - c.dragged) / sideways.max(f64::MIN_POSITIVE);
    // Deeper in: what was clear of the body meets it, or a tip that was in it goes down.
    let deeper = match c.thin {
        Some(radius) => {
            let thin = UprightWire { radius, ..*wire };
            o.first_contact(&thin, d, length.min(drag_left)).map(|c| c.travel)
        }
        None => (!away && d.z < -LEVEL).then_some(0.0),
    };
    let limit = deeper.unwrap_or(length).min(drag_left);
    let mut t = 0.0;
    // The distance grows by no more than the travel, so no step leaps over the moment it is free.
    loop {
        let Some(near) = o.axis_nearness(&wire.moved(&(d * t)), touching) else {
            return Parting::Free(t);
        };
        if t >= limit {
            break;
        }
        t = (t + (touching - near.distance).max(LEAST_STEP)).min(limit);
    }
    if deeper.is_some() || drag_left < length {
        return Parting::Crash(limit);
    }
    c.dragged += sideways * length;
    Parting::StillTouching
}

fn nozzle_hit(o: &Obstacle<'_>, at_start: &UprightNozzle, path: &[Point3<f64>]) -> Option<f64> {
    let mut nozzle = *at_start;
    if o.touches_nozzle(&nozzle) {
        // It may just touch, where an earlier crash left it.
        nozzle.radius -= GIVE;
        nozzle.rim.z += GIVE;
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
