use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, EdgeMade, Part, PartError};
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
    /// The wire is as the last arc has left it: a ball at its end, and another stick-out.
    UntrimmedWire {
        /// Stick-out now, mm.
        stick_out_mm: f64,
    },
    /// The contact tip is worn: in each run the wire stands elsewhere in it while it feels.
    TipWorn {
        /// Standard deviation along X and along Y of where it stands, mm.
        wear_mm: f64,
    },
    /// An edge of the part is not as the drawing has it.
    RoughEdge {
        /// Name of the body.
        body: String,
        /// Number of the edge of its outline, from 0; the edge after corner `edge`.
        edge: usize,
        /// How it was made in truth.
        made: EdgeMade,
    },
    /// A body has moved on the part, and the seams that it carries with it.
    LooseUpright {
        /// Name of the body.
        body: String,
        /// Along X, mm.
        dx: f64,
        /// Along Y, mm.
        dy: f64,
    },
    /// A clamp is worn: in runs that compare, the part lies this far from where it would lie.
    WornClamp {
        /// From where it was put to where it lies.
        away: PoseFile,
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

/// What is known of a kind of fault: what it is called, how it shows, where it is seen, what mends it,
/// and what it is like on a part. The page, drills and the command line read this table.
#[derive(Debug, Clone, Copy)]
pub struct FaultKind {
    /// Its name in files, one of [`FAULT_NAMES`].
    pub name: &'static str,
    /// What is wrong, as a clause.
    pub says: &'static str,
    /// What the runs show, one or two sentences.
    pub sign: &'static str,
    /// The look that finds it; `None` where only runs tell.
    pub look: Option<Look>,
    /// What mends it: any one of these.
    pub mends: &'static [Mend],
    /// The fault with values that suit the part; `None` where the part has no place for it.
    pub typical: fn(&Part, &CellSettings) -> Option<Fault>,
}

impl FaultKind {
    /// What mends it, as a command.
    pub fn mend(&self) -> String {
        let all: Vec<_> = self.mends.iter().map(|mend| mend.says()).collect();
        all.join(", or ")
    }

    /// Whether it is a fault of the wire, which is gone once the wire is cut.
    pub fn is_of_the_wire(&self) -> bool {
        self.mends.contains(&Mend::CutWire)
    }
}

/// Which of the part's bodies has this name, from 0.
pub(super) fn body_index(part: &Part, name: &str) -> Result<usize, PartError> {
    let index = part.bodies.iter().position(|body| body.name == name);
    index.ok_or_else(|| {
        PartError::unknown("body", name, part.bodies.iter().map(|body| body.name.as_str()))
    })
}

/// A shift on the level, mm.
pub(super) fn slide(dx: f64, dy: f64) -> PoseFile {
    PoseFile { dx, dy, ..PoseFile::default() }
}
