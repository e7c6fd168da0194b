use super::Noise;
use super::engine::Cell;
use super::obstacle::Obstacle;
use super::travel::{NozzleHit, TOUCHING_MM};
use crate::geometry::{Contact, Point3, Vector3};

/// Share of a forced displacement of the wire tip that stays (common practice, no source).
const STAYS_BENT: f64 = 0.5;

/// Search speed that the wire stands, mm/s: it gives elastically by what the torch runs on (common
/// practice, no source).
pub const ELASTIC_SPEED_MM_S: f64 = 60.0;
/// Deceleration of the torch after a touch, mm/s² (common practice, no source).
const DECELERATION_MM_S2: f64 = 2000.0;

/// By how much further the torch runs on after a touch than it does at [`ELASTIC_SPEED_MM_S`], mm:
/// v²/2a, less the same at that speed; 0 below it.
pub fn fast_overrun(speed_mm_s: f64) -> f64 {
    (stopping_way(speed_mm_s) - stopping_way(ELASTIC_SPEED_MM_S)).max(0.0)
}

/// Way in which the torch stops from this speed, mm/s: v²/2a, mm.
fn stopping_way(speed_mm_s: f64) -> f64 {
    speed_mm_s * speed_mm_s / (2.0 * DECELERATION_MM_S2)
}

/// Share of what the torch runs on along the wire that an unbraked wire slips back.
const SLIPS_BACK: f64 = 0.5;

/// Whether a face with this normal stands upright rather than lies level.
fn is_side(normal: &Vector3<f64>) -> bool {
    normal.z.abs() < 0.5
}

/// What a search touches at once whose nozzle is bridged by spatter, in logs.
pub const NOZZLE: &str = "nozzle";

/// By how much later a wire with a ball at its end conducts: skin and slag on it have to be pressed
/// through, mm (common practice, no source).
pub const BALL_LATE_MM: f64 = 0.4;
/// How many times more such a reading scatters (common practice, no source).
pub const BALL_SCATTER: f64 = 2.0;

/// Result of a search.
#[derive(Debug, Clone, PartialEq)]
pub enum SearchResult {
    /// The wire made contact.
    Touch(WireContact),
    /// No contact within reach.
    Nothing,
    /// The wire touched something before the search began.
    AlreadyTouching {
        /// Name of the body.
        body: String,
    },
    /// The nozzle meets something before the wire makes contact.
    Collision(NozzleHit),
}

/// Cosine of the greatest angle between normals of one face, about 3°: a face and the rounding beside
/// it differ by more.
pub(crate) const ONE_FACE_COSINE: f64 = 0.9986;

/// Contact of the wire at the end of a search. Work frame.
#[derive(Debug, Clone, PartialEq)]
pub struct WireContact {
    /// Distance travelled by the torch, mm.
    pub travel: f64,
    /// True lowest point of the wire at contact, mm.
    pub contact: Point3<f64>,
    /// The torch point when the wire conducts, mm: where the controller assumes the tip.
    pub torch: Point3<f64>,
    /// Name of the body.
    pub body: String,
    /// Point of contact on the body, mm.
    pub point: Point3<f64>,
    /// Outward unit normal of the body there.
    pub normal: Vector3<f64>,
    /// Distance that the torch pressed on through paint until the wire conducted, mm. The wire bends
    /// elastically by it, so the reading is too deep by it.
    pub pressed: Option<f64>,
    /// How many times as much the reading scatters as on a machined edge.
    pub scatter: f64,
}

impl WireContact {
    /// Whether it is on the face of this body that has this outward normal there, work frame.
    pub(crate) fn is_on(&self, body: &str, normal: &Vector3<f64>) -> bool {
        self.body == body && self.normal.dot(normal) > ONE_FACE_COSINE
    }
}

impl Cell {
    /// Searches from the torch point `start` along `direction`, at most `reach`, mm. Work frame.
    ///
    /// Exact first contact of the true wire with all bodies and the table. A direction of length zero
    /// finds nothing.
    pub fn search(
        &self,
        start: &Point3<f64>,
        direction: &Vector3<f64>,
        reach: f64,
    ) -> SearchResult {
        let wire = self.wire_at(start);
        let touching = wire.radius + TOUCHING_MM;
        for o in self.obstacles() {
            if o.axis_nearness(&wire, touching).is_some() {
                return SearchResult::AlreadyTouching { body: o.name.into() };
            }
        }
        let Some(d) = direction.try_normalize(1e-9) else { return SearchResult::Nothing };
        if self.is_bridged() {
            let contact = self.wire_tip(start);
            return SearchResult::Touch(WireContact {
                travel: 0.0,
                contact,
                torch: *start,
                body: NOZZLE.into(),
                point: contact,
                normal: -d,
                pressed: None,
                scatter: 1.0,
            });
        }
        let mut first = None;
        let mut limit = reach;
        for o in self.obstacles() {
            if let Some(c) = o.first_contact(&wire, &d, limit) {
                limit = c.travel;
                first = Some((c, o));
            }
        }
        let paint = first.and_then(|(c, o)| {
            let p = self.work_from_body(o.name).inverse().point(&c.point);
            let painted = o.on_part && is_side(&c.normal);
            self.paints.iter().find(|t| painted && *t.body == *o.name && t.covers(&p))
        });
        let pressed = paint.map(|p| p.depth);
        limit = (limit + pressed.unwrap_or(0.0)).min(reach);
        if let Some(hit) = self.nozzle_hit(start, &d, limit) {
            return SearchResult::Collision(hit);
        }
        let Some((c, o)) = first else { return SearchResult::Nothing };
        let travel = c.travel + pressed.unwrap_or(0.0);
        if travel > reach {
            return SearchResult::Nothing;
        }
        SearchResult::Touch(WireContact {
            travel,
            contact: self.wire_tip(start) + d * c.travel,
            torch: start + d * travel,
            body: o.name.into(),
            point: c.point,
            normal: c.normal,
            pressed,
            scatter: self.scatter_on(&o, &c),
        })
    }

    /// How many times as much a touch scatters there as on a machined edge.
    fn scatter_on(&self, o: &Obstacle<'_>, contact: &Contact) -> f64 {
        let body = self.true_part().body(o.name).filter(|_| o.on_part && is_side(&contact.normal));
        let at = self.work_from_body(o.name).inverse().point(&contact.point);
        body.map_or(1.0, |b| b.made_at(at.xy()).scatter())
    }

    /// The controller's reading of a touch, work frame, mm: the torch has moved on along `direction`
    /// until the contact is detected.
    ///
    /// Reading = torch + d · (v · (latency + U(0, scan period)) + N(0, σ) + overrun) with the search
    /// speed v in mm/s and the overrun of [`fast_overrun`]. A rough edge multiplies σ. A ball on the
    /// wire adds [`BALL_LATE_MM`] and multiplies σ by [`BALL_SCATTER`].
    pub fn reading(
        &self,
        touch: &WireContact,
        direction: &Vector3<f64>,
        speed_mm_s: f64,
        noise: &mut Noise,
    ) -> Point3<f64> {
        let s = self.settings();
        let delay = s.latency_s + s.scan_s * noise.uniform();
        let (late, ball) = if self.wire.ball { (BALL_LATE_MM, BALL_SCATTER) } else { (0.0, 1.0) };
        let sigma = s.sigma_mm * touch.scatter * ball;
        let on = speed_mm_s * delay + sigma * noise.normal() + late + fast_overrun(speed_mm_s);
        touch.torch + direction * on
    }

    /// By how much a touch at this search speed, mm/s, along the unit vector `d` pushes the wire back
    /// into the torch, mm: half of what the torch runs on along the wire, as far as it slips before it
    /// flexes (common practice, no source); nothing with a wire brake.
    pub fn pushed_back(&self, d: &Vector3<f64>, speed_mm_s: f64) -> f64 {
        if self.settings().wire_brake {
            return 0.0;
        }
        let runs_on = speed_mm_s * self.settings().latency_s + stopping_way(speed_mm_s);
        SLIPS_BACK * runs_on * (-d.z).max(0.0)
    }

    /// How a search at this speed, mm/s, along the unit vector `d` bends the wire when it touches.
    /// Work frame, mm.
    pub fn touch_bend(
        &self,
        start: &Point3<f64>,
        d: &Vector3<f64>,
        speed_mm_s: f64,
    ) -> Vector3<f64> {
        self.push_bend(start, d, fast_overrun(speed_mm_s))
    }

    /// First contact of the nozzle on a straight way of length `limit`, mm, from the torch point
    /// `start` along the unit vector `d`. Work frame.
    pub fn nozzle_hit(
        &self,
        start: &Point3<f64>,
        d: &Vector3<f64>,
        limit: f64,
    ) -> Option<NozzleHit> {
        let (along, body) = self.nozzle_within(start, d, limit)?;
        Some(NozzleHit { along, at: start + d * along, body })
    }

    /// How a wire bends that is pressed on by `overrun`, mm, along the unit vector `d` with nothing
    /// to stop the torch. Work frame, mm.
    ///
    /// Half of what it had to give stays once it is free again, and no more than the stick-out
    /// (common practice, no source). Pressed on lengthwise it buckles away from the arm.
    pub fn push_bend(&self, start: &Point3<f64>, d: &Vector3<f64>, overrun: f64) -> Vector3<f64> {
        let level = Vector3::new(d.x, d.y, 0.0);
        let bend = (overrun * STAYS_BENT).min(self.wire.stick_out_mm);
        self.lag(start, &level) * bend
    }

    /// First contact of the nozzle within `limit`, mm: travel and name of the body.
    fn nozzle_within(
        &self,
        start: &Point3<f64>,
        d: &Vector3<f64>,
        limit: f64,
    ) -> Option<(f64, String)> {
        let nozzle = self.nozzle_at(start);
        let mut hit: Option<(f64, String)> = None;
        for o in self.obstacles() {
            if o.touches_nozzle(&nozzle) {
                return Some((0.0, o.name.into()));
            }
            let so_far = hit.as_ref().map_or(limit, |h| h.0);
            if let Some(c) = o.first_nozzle_contact(&nozzle, d, so_far)
                && c.travel < so_far
            {
                hit = Some((c.travel, o.name.into()));
            }
        }
        hit
    }
}
