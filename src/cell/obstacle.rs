use super::engine::{Cell, Solid};
use super::part_check::TABLE;
use crate::geometry::{
    Bounds, Contact, Nearness, Point3, PosedPrism, UprightNozzle, UprightWire, Vector3,
};

/// An obstacle for the torch: a prism, or the table (the half space below z = 0).
#[derive(Clone, Copy)]
pub(super) struct Obstacle<'a> {
    pub(super) name: &'a str,
    pub(super) on_part: bool,
    shape: Option<&'a PosedPrism>,
}

impl Cell {
    /// All bodies, then the table.
    pub(super) fn obstacles(&self) -> impl Iterator<Item = Obstacle<'_>> {
        let table = Obstacle { name: TABLE, on_part: false, shape: None };
        self.solids.iter().map(Obstacle::from).chain(std::iter::once(table))
    }
}

impl<'a> From<&'a Solid> for Obstacle<'a> {
    fn from(s: &'a Solid) -> Self {
        Self { name: &s.name, on_part: s.on_part, shape: Some(&s.shape) }
    }
}

impl Obstacle<'_> {
    /// Whether something that stays within `bounds` could meet it.
    pub(super) fn may_meet(&self, bounds: &Bounds) -> bool {
        self.shape.map_or(bounds.lo.z <= 0.0, |s| s.bounds().meets(bounds))
    }

    pub(super) fn first_contact(
        &self,
        wire: &UprightWire,
        d: &Vector3<f64>,
        reach: f64,
    ) -> Option<Contact> {
        match self.shape {
            Some(shape) => shape.first_contact(wire, d, reach),
            None => onto_table(wire.tip(), d, reach),
        }
    }

    pub(super) fn first_nozzle_contact(
        &self,
        nozzle: &UprightNozzle,
        d: &Vector3<f64>,
        reach: f64,
    ) -> Option<Contact> {
        match self.shape {
            Some(shape) => shape.first_nozzle_contact(nozzle, d, reach),
            None => onto_table(nozzle.rim, d, reach),
        }
    }

    /// Distance of the wire's axis, if at most `within`, mm.
    pub(super) fn axis_nearness(&self, wire: &UprightWire, within: f64) -> Option<Nearness> {
        if let Some(shape) = self.shape {
            return shape.axis_nearness(wire, within);
        }
        let distance = wire.centre.z.max(0.0);
        let point = Point3::new(wire.centre.x, wire.centre.y, 0.0);
        (distance <= within).then_some(Nearness { distance, point, normal: Vector3::z() })
    }

    pub(super) fn touches_nozzle(&self, nozzle: &UprightNozzle) -> bool {
        self.shape.map_or(nozzle.rim.z <= 0.0, |s| s.touches_nozzle(nozzle))
    }
}

/// First contact of something with this lowest point with the table.
fn onto_table(lowest: Point3<f64>, d: &Vector3<f64>, reach: f64) -> Option<Contact> {
    let travel = lowest.z / -d.z;
    let met = lowest.z >= 0.0 && d.z < 0.0 && travel <= reach;
    met.then(|| Contact { travel, point: lowest + d * travel, normal: Vector3::z() })
}
