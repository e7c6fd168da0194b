use super::engine::Cell;
use super::obstacle::Obstacle;
use super::wire::CRASH_BEND_MM;
use crate::geometry::{Bounds, Nearness, Point3, UprightNozzle, UprightWire, Vector3, polyline};

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

/// Contact that is allowed on a move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AllowedContact {
    /// None: travel moves.
    Nothing,
    /// The wire may touch the part: moves of a weld.
    WireOnPart,
}

/// What a torch meets on its way. The wire gives and the torch goes on; the nozzle stops it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Contacts {
    /// The first thing that the wire meets, if the nozzle has not stopped the torch before.
    pub wire: Option<WireHit>,
    /// The first thing that the nozzle meets.
    pub nozzle: Option<NozzleHit>,
}

/// The wire meets something outside a search: it is bent from there on.
#[derive(Debug, Clone, PartialEq)]
pub struct WireHit {
    /// Distance along the path, mm.
    pub along: f64,
    /// The torch point there, work frame, mm.
    pub at: Point3<f64>,
    /// Name of the body.
    pub body: String,
    /// Added displacement of the wire tip, work frame, mm.
    pub bend: Vector3<f64>,
}

/// The nozzle meets something: the collision sensor trips, and the torch stops.
#[derive(Debug, Clone, PartialEq)]
pub struct NozzleHit {
    /// Distance along the path, mm.
    pub along: f64,
    /// The torch point there, work frame, mm.
    pub at: Point3<f64>,
    /// Name of the body.
    pub body: String,
}

impl Cell {
    /// What wire and nozzle meet of part, clamps and table along a path of torch points.
    ///
    /// A wire that touches a body at the start (after a touch, or after a weld) may move away from it:
    /// without pressing deeper, and without being dragged along by more than [`MAX_DRAG_MM`]. Once
    /// free, it may not touch again.
    pub fn travel(&self, path: &[Point3<f64>], allow: AllowedContact) -> Contacts {
        self.travel_leaning(path, allow, &Vector3::z())
    }

    /// The same for a torch that leans: `axis` is its axis from the wire tip up, unit length. The
    /// nozzle is checked as [`Cell::leaning_nozzle`], the wire as if it were upright.
    pub fn travel_leaning(
        &self,
        path: &[Point3<f64>],
        allow: AllowedContact,
        axis: &Vector3<f64>,
    ) -> Contacts {
        let Some(start) = path.first() else { return Contacts::default() };
        let torch = self.moving_torch(start, axis, &Bounds::around(path));
        let MovingTorch { wire, nozzle, wire_bounds, nozzle_bounds } = torch;
        let (mut bent, mut stopped): (Option<(f64, _)>, Option<(f64, _)>) = (None, None);
        for o in self.obstacles() {
            if o.may_meet(&nozzle_bounds)
                && let Some(along) = nozzle_hit(&o, &nozzle, path)
                && stopped.as_ref().is_none_or(|(first, _)| along < *first)
            {
                stopped = Some((along, o));
            }
            if !(allow == AllowedContact::WireOnPart && o.on_part)
                && o.may_meet(&wire_bounds)
                && let Some(along) = wire_hit(&o, &wire, path)
                && bent.as_ref().is_none_or(|(first, _)| along < *first)
            {
                bent = Some((along, o));
            }
        }
        let until = stopped.as_ref().map_or(f64::INFINITY, |(along, _)| *along);
        Contacts {
            wire: bent.filter(|(along, _)| *along < until).map(|(along, o)| WireHit {
                along,
                at: polyline::point_at(path, along),
                body: o.name.into(),
                bend: self.crash_bend(path, along),
            }),
            nozzle: stopped.map(|(along, o)| NozzleHit {
                along,
                at: polyline::point_at(path, along),
                body: o.name.into(),
            }),
        }
    }

    /// Whether wire and nozzle of a torch that leans along `axis` are certain to meet nothing, however it
    /// goes from `start` within `range`, a box of torch points; work frame, mm. Quick; where it is false,
    /// [`Cell::travel_leaning`] knows.
    fn clears(
        &self,
        start: &Point3<f64>,
        range: &Bounds,
        allow: AllowedContact,
        axis: &Vector3<f64>,
    ) -> bool {
        let torch = self.moving_torch(start, axis, range);
        let room = |o: &Obstacle<'_>| {
            let allowed = allow == AllowedContact::WireOnPart && o.on_part;
            o.may_meet(&torch.nozzle_bounds) || (!allowed && o.may_meet(&torch.wire_bounds))
        };
        !self.obstacles().any(|o| room(&o))
    }

    /// Whether a joint move is certain to meet nothing, as [`Cell::clears`].
    pub(crate) fn clears_joint(
        &self,
        [from, to]: [&Point3<f64>; 2],
        allow: AllowedContact,
        axis: &Vector3<f64>,
    ) -> bool {
        self.clears(from, &self.joint_range(from, to), allow, axis)
    }

    /// Whether a linear move is certain to meet nothing, as [`Cell::clears`].
    pub(crate) fn clears_linear(
        &self,
        [from, to]: [&Point3<f64>; 2],
        allow: AllowedContact,
        axis: &Vector3<f64>,
    ) -> bool {
        self.clears(from, &Bounds::around([from, to]), allow, axis)
    }

    /// Wire and nozzle at `start`, and the boxes that they stay in while the torch point stays within
    /// `range`.
    fn moving_torch(
        &self,
        start: &Point3<f64>,
        axis: &Vector3<f64>,
        range: &Bounds,
    ) -> MovingTorch {
        let (wire, nozzle) = (self.wire_at(start), self.leaning_nozzle(start, axis));
        let around =
            |b: Bounds| Bounds { lo: b.lo + (range.lo - start), hi: b.hi + (range.hi - start) };
        let (wire_bounds, nozzle_bounds) =
            (around(wire.bounds()).grown(TOUCHING_MM), around(nozzle.bounds()));
        MovingTorch { wire, nozzle, wire_bounds, nozzle_bounds }
    }

    /// The tip is bent backwards: against the direction of travel on the plan; away from the arm for a
    /// vertical move.
    fn crash_bend(&self, path: &[Point3<f64>], along: f64) -> Vector3<f64> {
        let mut left = along;
        let mut way = Vector3::zeros();
        for (_, [a, b]) in legs(path) {
            way = b - a;
            left -= way.norm();
            if left <= 0.0 {
                break;
            }
        }
        way.z = 0.0;
        self.lag(&path[0], &way) * CRASH_BEND_MM
    }

    /// The direction in which a wire tip lags that meets something on a level way; unit length. On a
    /// vertical way it gives away from the arm.
    pub(super) fn lag(&self, from: &Point3<f64>, level_way: &Vector3<f64>) -> Vector3<f64> {
        let [bx, by] = self.part().arm_base;
        let away = Vector3::new(from.x - bx, from.y - by, 0.0);
        let lag = (-level_way).try_normalize(1e-6).or_else(|| away.try_normalize(1e-6));
        lag.unwrap_or_else(Vector3::x)
    }
}

/// Wire and nozzle where a move begins, and the boxes they stay in.
struct MovingTorch {
    wire: UprightWire,
    nozzle: UprightNozzle,
    wire_bounds: Bounds,
    nozzle_bounds: Bounds,
}

/// The segments of a path with a length above zero, each with the place of its first point.
fn legs(path: &[Point3<f64>]) -> impl Iterator<Item = (usize, [Point3<f64>; 2])> {
    path.windows(2).map(|w| [w[0], w[1]]).enumerate().filter(|(_, [a, b])| a != b)
}

/// A wire that has been touching since the move began.
struct TouchingWire {
    /// Radius of the part of the wire that was clear of the body at the start, mm; `None` if its axis
    /// was inside.
    clear_radius: Option<f64>,
    /// Distance dragged so far, mm.
    dragged_mm: f64,
    /// How it touches now.
    near: Nearness,
}

/// First contact of the wire with an obstacle: distance along the path, mm.
fn wire_hit(o: &Obstacle<'_>, at_start: &UprightWire, path: &[Point3<f64>]) -> Option<f64> {
    let touching = at_start.radius + TOUCHING_MM;
    let mut touching_wire = o.axis_nearness(at_start, touching).map(|n| TouchingWire {
        clear_radius: (n.distance > GIVE_MM).then_some(n.distance - GIVE_MM),
        dragged_mm: 0.0,
        near: n,
    });
    let room = at_start.bounds().grown(TOUCHING_MM);
    for (i, [a, b]) in legs(path) {
        if touching_wire.is_none() && !o.may_meet(&swept(&room, path[0], [a, b])) {
            continue;
        }
        let length = (b - a).norm();
        let gone = || polyline::length(&path[..=i]);
        let wire = at_start.moved(&(a - path[0]));
        let d = (b - a) / length;
        let mut free_from = 0.0;
        if let Some(c) = &mut touching_wire {
            match come_free(o, &wire, &d, length, c) {
                Release::Pressed(t) => return Some(gone() + t),
                Release::Free(t) => {
                    free_from = t;
                    touching_wire = None;
                }
                Release::StillTouching => continue,
            }
        }
        let wire = wire.moved(&(d * free_from));
        if let Some(c) = o.first_contact(&wire, &d, length - free_from) {
            return Some(gone() + free_from + c.travel);
        }
    }
    None
}

/// The box that something stays in which has the box `room` while the torch is at `start`, as the torch
/// goes from `a` to `b`.
fn swept(room: &Bounds, start: Point3<f64>, [a, b]: [Point3<f64>; 2]) -> Bounds {
    let Bounds { lo, hi } = Bounds::around([&a, &b]);
    Bounds { lo: room.lo + (lo - start), hi: room.hi + (hi - start) }
}

/// How a touching wire fares on one segment; distances along it, mm.
enum Release {
    Free(f64),
    StillTouching,
    Pressed(f64),
}

fn come_free(
    o: &Obstacle<'_>,
    wire: &UprightWire,
    d: &Vector3<f64>,
    length: f64,
    c: &mut TouchingWire,
) -> Release {
    let touching = wire.radius + TOUCHING_MM;
    let away = d.dot(&c.near.normal) > AWAY;
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
    while t < limit {
        t = (t + (touching - c.near.distance).max(MIN_STEP_MM)).min(limit);
        match o.axis_nearness(&wire.moved(&(d * t)), touching) {
            Some(near) => c.near = near,
            None => return Release::Free(t),
        }
    }
    if deeper.is_some() || drag_left < length {
        return Release::Pressed(limit);
    }
    c.dragged_mm += sideways * length;
    Release::StillTouching
}

/// First contact of the nozzle with an obstacle: distance along the path, mm.
fn nozzle_hit(o: &Obstacle<'_>, at_start: &UprightNozzle, path: &[Point3<f64>]) -> Option<f64> {
    let mut nozzle = *at_start;
    if o.touches_nozzle(&nozzle) {
        // An earlier collision may have left it just touching.
        nozzle.radius -= GIVE_MM;
        nozzle.rim.z += GIVE_MM;
        if o.touches_nozzle(&nozzle) {
            return Some(0.0);
        }
    }
    let room = nozzle.bounds().grown(TOUCHING_MM);
    for (i, [a, b]) in legs(path) {
        if !o.may_meet(&swept(&room, path[0], [a, b])) {
            continue;
        }
        let length = (b - a).norm();
        let moved = nozzle.moved(&(a - path[0]));
        if let Some(c) = o.first_nozzle_contact(&moved, &((b - a) / length), length) {
            return Some(polyline::length(&path[..=i]) + c.travel);
        }
    }
    None
}
