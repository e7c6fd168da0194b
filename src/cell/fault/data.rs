use crate::cell::{CellSettings, Part};
use crate::geometry::{PoseFile, Vector3};
use crate::io::{internally_tagged, xyz};
use serde::{Deserialize, Serialize};
use strum::{IntoStaticStr, VariantNames};

/// Something wrong with the cell, planted by a lesson or an instructor and hidden until found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, IntoStaticStr, VariantNames)]
#[serde(remote = "Self", rename_all = "kebab-case", deny_unknown_fields)]
#[strum(serialize_all = "kebab-case")]
pub enum Fault {
    /// Paint or scale on an edge of the part: the wire must press in before contact is made.
    PaintedEdge {
        /// Name of the body.
        body: String,
        /// Number of the edge of its outline, from 0; the edge after corner `edge`.
        edge: usize,
        /// Where the paint begins along the edge, mm from that corner.
        from_mm: f64,
        /// Where it ends, mm.
        to_mm: f64,
        /// How far the wire presses in before it conducts, mm.
        depth_mm: f64,
    },
    /// A tack weld on an edge of the part.
    TackOnEdge {
        /// Name of the body.
        body: String,
        /// Number of the edge of its outline, from 0; the edge after corner `edge`.
        edge: usize,
        /// Where it begins along the edge, mm from that corner.
        from_mm: f64,
        /// Where it ends, mm.
        to_mm: f64,
        /// How far it sticks out, mm.
        out_mm: f64,
    },
    /// A clamp has been shifted.
    ClampMoved {
        /// Name of the clamp.
        clamp: String,
        /// Shift along X, mm.
        dx: f64,
        /// Shift along Y, mm.
        dy: f64,
    },
    /// The part is sheared: its Y edges lean by this angle.
    OutOfSquare {
        /// Lean, degrees, positive counter-clockwise.
        lean_deg: f64,
    },
    /// The wire tip stands off the torch axis.
    WireBent {
        /// Where the tip is from where it should be, mm.
        #[serde(deserialize_with = "xyz")]
        bend: Vector3<f64>,
    },
    /// The wire was cut to another length than when the points were taught.
    StickOutChanged {
        /// Stick-out now, mm.
        stick_out_mm: f64,
    },
    /// The work lead has come off: no touch is ever felt.
    WorkLeadOff,
    /// Spatter bridges nozzle and contact tip: every search touches at once.
    SpatterBridge,
    /// The sensing speed was changed after the reference run.
    SensingSpeedChanged {
        /// Speed now, mm/s.
        speed_mm_s: f64,
    },
    /// The part slips between its last touch and its weld.
    PartSlipsMidRun {
        /// Where it then lies from where it lay.
        slip: PoseFile,
    },
    /// The part had been moved before the reference was taken.
    ReferenceOnMovedPart {
        /// Where it lay during the reference run.
        part: PoseFile,
    },
    /// Another part was loaded.
    WrongPart {
        /// Name of the part that lies there.
        part: String,
    },
}

internally_tagged!(Fault, "fault");

/// The names of all faults, as in files.
pub const FAULT_NAMES: &[&str] = Fault::VARIANTS;

impl Fault {
    /// Its name in files.
    pub fn name(&self) -> &'static str {
        self.into()
    }
}

/// What is known of a kind of fault: what it is called, how it shows, what mends it, and what it is
/// like on a part. The page, drills and the command line read this table.
#[derive(Debug, Clone, Copy)]
pub struct FaultKind {
    /// Its name in files, one of [`FAULT_NAMES`].
    pub name: &'static str,
    /// What is wrong, as a clause.
    pub says: &'static str,
    /// What the runs show, one or two sentences.
    pub sign: &'static str,
    /// What mends it, as a command.
    pub mend: &'static str,
    /// The action that mends it.
    pub repair: Repair,
    /// The fault with values that suit the part; `None` where the part has no place for it.
    pub typical: fn(&Part, &CellSettings) -> Option<Fault>,
}

/// How a fault is mended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Repair {
    /// By cutting the wire to the stick-out that was taught.
    CutWire,
    /// By taking the fault away: clean the edge, put the clamp back, load the right part.
    ClearFault,
}

/// A shift on the level, mm.
pub(super) fn slide(dx: f64, dy: f64) -> PoseFile {
    PoseFile { dx, dy, ..PoseFile::default() }
}
