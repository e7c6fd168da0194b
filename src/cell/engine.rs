use super::load::{Paint, loaded, paints};
use super::part_check::range;
use super::{CellSettings, Fault, Part, PartError, Seam, Wire};
use crate::geometry::{Point3, Pose, PosedPrism, UprightNozzle, UprightWire, Vector3};
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
    /// State of the wire.
    pub wire: Wire,
    pub(super) solids: Vec<Solid>,
    pub(super) paints: Arc<[Paint]>,
}

/// A body other than the table.
#[derive(Debug, Clone)]
pub(super) struct Solid {
    pub(super) name: Arc<str>,
    pub(super) on_part: bool,
    pub(super) shape: PosedPrism,
}

impl Cell {
    /// A cell with the part as drawn and a straight wire, changed by the faults.
    ///
    /// Faults that happen in a run (a slip, a changed probing speed, a reference on a moved part) are
    /// applied by the code that runs routines.
    ///
    /// # Errors
    /// The first problem of the part, the settings or a fault.
    pub fn new(part: &Part, settings: &CellSettings, faults: &[Fault]) -> Result<Self, PartError> {
        settings.check()?;
        let loaded = loaded(part, faults)?;
        let prisms = loaded.checked_prisms()?;
        let paints = paints(&loaded, faults)?;
        let mut wire = Wire::straight(settings.stick_out_mm);
        for fault in faults {
            match fault {
                Fault::WireBent { bend } => {
                    for v in bend.iter() {
                        range("bend", *v, -50.0, 50.0, "a bend within ±50 mm")?;
                    }
                    wire.bend = *bend;
                }
                Fault::StickOutChanged { stick_out_mm } => {
                    range("stick_out_mm", *stick_out_mm, 1.0, 100.0, "1 to 100 mm")?;
                    wire.stick_out_mm = *stick_out_mm;
                }
                _ => {}
            }
        }
        let names = loaded.bodies.iter().map(|b| (true, &b.name));
        let names = names.chain(loaded.clamps.iter().map(|b| (false, &b.name)));
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
            wire,
            solids,
            paints: paints.into(),
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
        if work_from_part == self.work_from_part {
            return;
        }
        self.work_from_part = work_from_part;
        for solid in self.solids.iter_mut().filter(|s| s.on_part) {
            solid.shape = solid.shape.at(work_from_part);
        }
    }

    /// Cuts the wire: straight again, with this stick-out, mm.
    pub fn cut_wire(&mut self, stick_out_mm: f64) {
        self.wire = Wire::straight(stick_out_mm);
    }

    /// What an arc does to the wire: what stood below the contact tip burns off, and fresh, straight
    /// wire follows at the set stick-out. At 8 m/min 15 mm of wire are gone in 0.11 s, in less than a
    /// millimetre of weld (length over feed speed; the feed is common practice, no source).
    pub fn burn_wire_off(&mut self) {
        self.cut_wire(self.settings.stick_out_mm);
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
}
