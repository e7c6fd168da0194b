use super::Noise;
use super::engine::Cell;
use super::travel::{Crash, TOUCHING_MM, TorchPart};
use crate::geometry::{Point3, Vector3};

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
    /// The nozzle hit something before the wire made contact.
    Crash(Crash),
}

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
        let mut first = None;
        let mut limit = reach;
        for o in self.obstacles() {
            if let Some(c) = o.first_contact(&wire, &d, limit) {
                limit = c.travel;
                first = Some((c, o));
            }
        }
        let paint = first.and_then(|(c, o)| {
            let p = self.work_from_part().inverse().point(&c.point);
            let painted = o.on_part && c.normal.z.abs() < 0.5;
            self.paints.iter().find(|t| painted && *t.body == *o.name && t.covers(&p))
        });
        let pressed = paint.map(|p| p.depth);
        limit = (limit + pressed.unwrap_or(0.0)).min(reach);
        if let Some((travel, body)) = self.nozzle_within(start, &d, limit) {
            return SearchResult::Crash(Crash {
                along: travel,
                at: start + d * travel,
                body,
                by: TorchPart::Nozzle,
                bend: Vector3::zeros(),
            });
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
        })
    }

    /// The controller's reading of a touch at the torch point `torch`, work frame, mm: the torch has
    /// moved on along `direction` until the contact is detected.
    ///
    /// Reading = torch + d · (v · (latency + U(0, scan period)) + N(0, σ)) with the probing speed
    /// v in mm/s.
    pub fn reading(
        &self,
        torch: &Point3<f64>,
        direction: &Vector3<f64>,
        speed_mm_s: f64,
        noise: &mut Noise,
    ) -> Point3<f64> {
        let s = self.settings();
        let delay = s.latency_s + s.scan_s * noise.uniform();
        torch + direction * (speed_mm_s * delay + s.sigma_mm * noise.normal())
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
