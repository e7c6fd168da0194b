use super::fault::Paint;
use super::{CellSettings, Fault, OwnMotions, Part, PartError, Seam, Wire};
use crate::geometry::{
    Point3, Pose, PosedPrism, UnitQuaternion, UprightNozzle, UprightWire, Vector3,
};
use std::sync::Arc;

/// The virtual cell: the real part and clamps, the torch and its wire.
///
/// The torch point is the lowest point of a straight wire at the stick-out of the settings, work
/// frame, mm. A bent wire, or one cut to another length, has its tip elsewhere:
/// [`Cell::wire_tip`]. The nozzle's rim is one stick-out of the settings above the torch point.
#[derive(Debug, Clone)]
pub struct Cell {
    part: Arc<Part>,
    loaded: Arc<Part>,
    settings: CellSettings,
    work_from_part: Pose,
    own_motions: OwnMotions,
    /// State of the wire.
    pub wire: Wire,
    pub(super) solids: Vec<Solid>,
    pub(super) paints: Arc<[Paint]>,
    /// The work lead is on.
    work_lead: bool,
    /// Spatter bridges nozzle and contact tip.
    bridged: bool,
}

/// A body other than the table.
#[derive(Debug, Clone)]
pub(super) struct Solid {
    pub(super) name: Arc<str>,
    /// Whether it moves with the part.
    pub(super) on_part: bool,
    pub(super) shape: PosedPrism,
}

impl Cell {
    /// A cell with the part as drawn and a straight wire, changed by the faults.
    ///
    /// Faults that happen in a run (a slip, a changed search speed, a reference on a moved part) are
    /// applied by the code that runs routines.
    ///
    /// # Errors
    /// The first problem of the part, the settings or a fault.
    pub fn new(part: &Part, settings: &CellSettings, faults: &[Fault]) -> Result<Self, PartError> {
        settings.check()?;
        let mut loaded = part.clone();
        faults.iter().try_for_each(|fault| fault.on_part(&mut loaded))?;
        let prisms = loaded.checked_prisms()?;
        let mut wire = Wire::straight(settings.stick_out_mm);
        faults.iter().try_for_each(|fault| fault.on_wire(&mut wire))?;
        let paints: Vec<Paint> =
            faults.iter().filter_map(|f| f.paint(&loaded).transpose()).collect::<Result<_, _>>()?;
        let names = loaded.bodies.iter().map(|b| (true, &b.name));
        let names = names.chain(loaded.clamps.iter().map(|b| (false, &b.name)));
        // A touch on what sticks out of a body is one on the body.
        let bumps = loaded.bodies.iter().flat_map(|b| b.bumps.iter().map(|_| (true, &b.name)));
        let names = names.chain(bumps);
        let solids = names
            .zip(prisms)
            .map(|((on_part, name), prism)| Solid {
                name: name.as_str().into(),
                on_part,
                shape: PosedPrism::new(Arc::new(prism), Pose::identity()),
            })
            .collect();
        Ok(Self {
            part: Arc::new(part.clone()),
            loaded: Arc::new(loaded),
            settings: *settings,
            work_from_part: Pose::identity(),
            own_motions: OwnMotions::new(),
            wire,
            solids,
            paints: paints.into(),
            work_lead: !faults.contains(&Fault::WorkLeadOff),
            bridged: faults.contains(&Fault::SpatterBridge),
        })
    }

    /// The part as drawn: what the learner expects.
    pub fn part(&self) -> &Part {
        &self.part
    }

    /// The part as it really is, part frame: another one, or out of square, if such a fault was
    /// planted; with its clamps as they really are.
    pub fn true_part(&self) -> &Arc<Part> {
        &self.loaded
    }

    /// The seams of the real part, part frame.
    pub fn seams(&self) -> &[Seam] {
        &self.loaded.seams
    }

    /// Whether a touch closes the sensing circuit once the wire carries voltage.
    pub fn can_sense(&self) -> bool {
        self.work_lead
    }

    /// Whether every search touches at once.
    pub fn is_bridged(&self) -> bool {
        self.bridged
    }

    /// Settings of torch and sensing.
    pub fn settings(&self) -> &CellSettings {
        &self.settings
    }

    /// True pose of the part.
    pub fn work_from_part(&self) -> Pose {
        self.work_from_part
    }

    /// Moves the part to this pose. Clamps and table stay.
    pub fn place_part(&mut self, work_from_part: Pose) {
        if work_from_part != self.work_from_part {
            self.work_from_part = work_from_part;
            self.place_solids();
        }
    }

    /// Moves bodies by themselves: where each of these lies on the part, from its drawn place.
    pub fn place_bodies(&mut self, own_motions: &OwnMotions) {
        if *own_motions != self.own_motions {
            self.own_motions.clone_from(own_motions);
            self.place_solids();
        }
    }

    fn place_solids(&mut self) {
        let Self { solids, own_motions, work_from_part, .. } = self;
        for solid in solids.iter_mut().filter(|s| s.on_part) {
            solid.shape.place(work_from_body(*work_from_part, own_motions, &solid.name));
        }
    }

    /// True pose of the body with this name: that of the part, and what it has moved by itself.
    pub fn work_from_body(&self, name: &str) -> Pose {
        work_from_body(self.work_from_part, &self.own_motions, name)
    }

    /// Cuts the wire: straight again, with this stick-out, mm.
    pub fn cut_wire(&mut self, stick_out_mm: f64) {
        self.wire = Wire::straight(stick_out_mm);
    }

    /// Vector from the torch point to the true tip of the wire, mm: its bend, and down by its extra
    /// length.
    pub fn tip_displacement(&self) -> Vector3<f64> {
        let longer = self.wire.stick_out_mm - self.settings.stick_out_mm;
        self.wire.bend - Vector3::z() * longer
    }

    /// True lowest point of the wire with the torch at `torch`; work frame, mm.
    pub fn wire_tip(&self, torch: &Point3<f64>) -> Point3<f64> {
        torch + self.tip_displacement()
    }

    /// The same with a torch that leans: `axis` is its axis from the wire tip up, unit length. Work
    /// frame, mm.
    pub fn leaning_tip(&self, torch: &Point3<f64>, axis: &Vector3<f64>) -> Point3<f64> {
        let lean = UnitQuaternion::rotation_between(&Vector3::z(), axis).unwrap_or_default();
        torch + lean * self.tip_displacement()
    }

    /// The wire with the torch at `torch`.
    pub fn wire_at(&self, torch: &Point3<f64>) -> UprightWire {
        let r = self.settings.wire_radius();
        UprightWire::from_tip(&self.wire_tip(torch), self.wire.stick_out_mm, r)
    }

    /// The nozzle with the torch at `torch`.
    pub fn nozzle_at(&self, torch: &Point3<f64>) -> UprightNozzle {
        let rim = torch + Vector3::z() * self.settings.stick_out_mm;
        UprightNozzle { rim, radius: self.settings.nozzle_mm / 2.0 }
    }

    /// What stands for the nozzle of a torch that leans, in checks for collision: the upright cylinder
    /// about the centre of its rim that is no wider than the leaning rim reaches sideways, from the
    /// lowest point of the rim up. `axis` is the axis of the torch from the wire tip up, unit length.
    ///
    /// It leaves out the higher part of the nozzle, which leans away from the upright plate.
    pub fn leaning_nozzle(&self, torch: &Point3<f64>, axis: &Vector3<f64>) -> UprightNozzle {
        let radius = self.settings.nozzle_mm / 2.0;
        let sin = axis.xy().norm();
        let rim = torch + axis * self.settings.stick_out_mm - Vector3::z() * (radius * sin);
        UprightNozzle { rim, radius: radius * axis.z.max(0.0) }
    }
}

/// True pose of the body with this name: that of the part, and what it has moved by itself.
fn work_from_body(work_from_part: Pose, own_motions: &OwnMotions, name: &str) -> Pose {
    own_motions.get(name).map_or(work_from_part, |own| work_from_part * *own)
}
