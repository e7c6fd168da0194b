//! What can be wrong with the cell: one file a kind of fault, with its effect, how it shows, what mends
//! it, and what it is like on a part.

mod clamp_moved;
mod data;
mod edge;
mod look;
mod loose_upright;
mod mend;
mod out_of_square;
mod painted_edge;
mod part_slips_mid_run;
mod reference_on_moved_part;
mod rough_edge;
mod seen;
mod sensing_speed_changed;
mod spatter_bridge;
mod stick_out_changed;
mod tack_on_edge;
mod tip_worn;
mod untrimmed_wire;
mod wire_bent;
mod work_lead_off;
mod worn_clamp;
mod wrong_part;

pub use data::{FAULT_NAMES, Fault, FaultKind};
pub use edge::{EdgeMet, edge_met};
pub use look::Look;
pub use mend::Mend;
pub(super) use painted_edge::Paint;
pub use wire_bent::WIRE_BENT;

use super::{Part, PartError, Wire};
use crate::geometry::{Pose, Vector3};

impl Fault {
    /// What is known of its kind.
    pub fn kind(&self) -> &'static FaultKind {
        fault_kind(self.name()).expect("every fault has its kind")
    }

    /// What it does to part and clamps.
    pub(super) fn on_part(&self, part: &mut Part) -> Result<(), PartError> {
        match self {
            Self::TackOnEdge { body, edge, from_mm, to_mm, out_mm } => {
                tack_on_edge::apply(part, body, *edge, [*from_mm, *to_mm], *out_mm)
            }
            Self::ClampMoved { clamp, dx, dy } => clamp_moved::apply(part, clamp, *dx, *dy),
            Self::OutOfSquare { lean_deg } => out_of_square::apply(part, *lean_deg),
            Self::WrongPart { part: name } => wrong_part::apply(part, name),
            Self::RoughEdge { body, edge, made } => rough_edge::apply(part, body, *edge, *made),
            Self::LooseUpright { body, dx, dy } => loose_upright::apply(part, body, *dx, *dy),
            Self::TipWorn { wear_mm } => tip_worn::check(*wear_mm),
            _ => Ok(()),
        }
    }

    /// What it does to the wire.
    ///
    /// # Errors
    /// If a value is out of range.
    pub fn on_wire(&self, wire: &mut Wire) -> Result<(), PartError> {
        match self {
            Self::WireBent { bend } => wire_bent::apply(wire, *bend),
            Self::StickOutChanged { stick_out_mm } => stick_out_changed::apply(wire, *stick_out_mm),
            Self::UntrimmedWire { stick_out_mm } => untrimmed_wire::apply(wire, *stick_out_mm),
            _ => Ok(()),
        }
    }

    /// Whether the wire is as this fault has left it.
    pub fn is_on_wire(&self, wire: &Wire) -> bool {
        match self {
            Self::WireBent { bend } => *bend == wire.bend,
            Self::StickOutChanged { stick_out_mm } => *stick_out_mm == wire.stick_out_mm,
            Self::UntrimmedWire { stick_out_mm } => wire.ball && *stick_out_mm == wire.stick_out_mm,
            _ => false,
        }
    }

    /// Takes away what this fault has done to the wire; `taught_mm` is the stick-out that was taught.
    pub fn off_wire(&self, wire: &mut Wire, taught_mm: f64) {
        match self {
            Self::WireBent { .. } => wire.bend = Vector3::zeros(),
            Self::StickOutChanged { .. } => wire.stick_out_mm = taught_mm,
            Self::UntrimmedWire { .. } => (wire.stick_out_mm, wire.ball) = (taught_mm, false),
            _ => {}
        }
    }

    /// Where the wire stands in a worn contact tip while this run of a session feels, mm off the torch
    /// axis.
    pub fn tip_bend(&self, seed: u64, run: usize) -> Option<Vector3<f64>> {
        match self {
            Self::TipWorn { wear_mm } => Some(tip_worn::bend(*wear_mm, seed, run)),
            _ => None,
        }
    }

    /// The stretch of the part that it covers with paint.
    pub(super) fn paint(&self, part: &Part) -> Result<Option<Paint>, PartError> {
        match self {
            Self::PaintedEdge { body, edge, from_mm, to_mm, depth_mm } => {
                let stretch = [*from_mm, *to_mm];
                painted_edge::paint(part, body, *edge, stretch, *depth_mm).map(Some)
            }
            _ => Ok(None),
        }
    }

    /// The speed at which searches are truly made once the reference flag is off, mm/s.
    pub fn sensing_speed(&self) -> Option<f64> {
        match self {
            Self::SensingSpeedChanged { speed_mm_s } => Some(*speed_mm_s),
            _ => None,
        }
    }

    /// How the part slips once it is found: from where it lay to where it then lies, work frame.
    pub fn slip(&self) -> Option<Pose> {
        match self {
            Self::PartSlipsMidRun { slip } => Some(Pose::from(*slip)),
            _ => None,
        }
    }

    /// From where the part was put to where a worn clamp lets it lie in runs that compare, work frame.
    pub fn given_way(&self) -> Option<Pose> {
        match self {
            Self::WornClamp { away } => Some(Pose::from(*away)),
            _ => None,
        }
    }

    /// Where the part truly lies while a reference is taken, `work_from_part`.
    pub fn reference_part(&self) -> Option<Pose> {
        match self {
            Self::ReferenceOnMovedPart { part } => Some(Pose::from(*part)),
            _ => None,
        }
    }
}

/// All kinds, in the order of [`FAULT_NAMES`].
pub static FAULT_KINDS: &[FaultKind] = &[
    painted_edge::KIND,
    tack_on_edge::KIND,
    clamp_moved::KIND,
    out_of_square::KIND,
    wire_bent::KIND,
    stick_out_changed::KIND,
    work_lead_off::KIND,
    spatter_bridge::KIND,
    sensing_speed_changed::KIND,
    part_slips_mid_run::KIND,
    reference_on_moved_part::KIND,
    wrong_part::KIND,
    untrimmed_wire::KIND,
    tip_worn::KIND,
    rough_edge::KIND,
    loose_upright::KIND,
    worn_clamp::KIND,
];

/// The kind of that name.
pub fn fault_kind(name: &str) -> Option<&'static FaultKind> {
    FAULT_KINDS.iter().find(|kind| kind.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::{Cell, CellSettings, Joint, part_by_name, parts};

    #[test]
    fn every_name_has_its_kind_in_the_same_place() {
        let names: Vec<_> = FAULT_KINDS.iter().map(|kind| kind.name).collect();
        assert_eq!(names, FAULT_NAMES);
    }

    #[test]
    fn every_fault_can_be_planted_on_every_part_that_it_suits() {
        for part in parts() {
            for kind in FAULT_KINDS {
                let settings = CellSettings::default();
                let Some(fault) = (kind.typical)(&part, &settings) else {
                    // Its clamps are 60 mm tall, and it is touched 84 mm up: over all of them.
                    let over = (kind.name, part.name.as_str()) == ("clamp-moved", "planter-tub");
                    // Nothing stands upright on a joint of two sheets or plates.
                    let flat = kind.name == "loose-upright" && part.seams[0].joint != Joint::Fillet;
                    assert!(over || flat, "{}: no {}", part.name, kind.name);
                    continue;
                };
                assert_eq!(fault.name(), kind.name, "{}: another fault", part.name);
                let cell = Cell::new(&part, &settings, &[fault]);
                assert!(cell.is_ok(), "{}, {}: {:?}", part.name, kind.name, cell.err());
            }
        }
    }

    #[test]
    fn only_faults_of_the_wire_are_mended_by_cutting_it() {
        let settings = CellSettings::default();
        let part = part_by_name("bench-side").expect("it comes with the program");
        for kind in FAULT_KINDS {
            let straight = Wire::straight(settings.stick_out_mm);
            let mut wire = straight;
            let fault = (kind.typical)(&part, &settings).expect("it can happen to it");
            fault.on_wire(&mut wire).expect("within what can be");
            assert_eq!(kind.is_of_the_wire(), wire != straight, "{}", kind.name);
            assert_eq!(fault.is_on_wire(&wire), wire != straight, "{}: is on it", kind.name);
            fault.off_wire(&mut wire, settings.stick_out_mm);
            assert_eq!(wire, straight, "{}: and off again", kind.name);
        }
    }

    #[test]
    fn causes_and_mends_are_not_one_to_one() {
        let of = |mend| FAULT_KINDS.iter().filter(move |k| k.mends.contains(&mend)).count();
        assert!(Mend::all().all(|mend| of(mend) > 0), "every mend is of some use");
        assert!(Mend::all().filter(|mend| of(*mend) > 1).count() >= 5, "several causes share one");
        assert!(
            FAULT_KINDS.iter().filter(|k| k.mends.len() > 1).count() >= 5,
            "one has two that work"
        );
    }
}
