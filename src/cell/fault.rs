use crate::data::tagged;
use crate::geometry::{PoseFile, Vector3};
use serde::Serialize;

/// Something wrong with the cell, planted by a lesson or an instructor and hidden until found.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "fault", rename_all = "kebab-case")]
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
        bend: Vector3<f64>,
    },
    /// The wire was cut to another length than when the points were taught.
    StickOutChanged {
        /// Stick-out now, mm.
        stick_out_mm: f64,
    },
    /// Somebody changed the probing speed of a plan after the reference run.
    ProbingSpeedChanged {
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

tagged!(Fault, "fault" {
    PaintedEdge "painted-edge" { body, edge, from_mm, to_mm, depth_mm },
    ClampMoved "clamp-moved" { clamp, dx, dy },
    OutOfSquare "out-of-square" { lean_deg },
    WireBent "wire-bent" { bend },
    StickOutChanged "stick-out-changed" { stick_out_mm },
    ProbingSpeedChanged "probing-speed-changed" { speed_mm_s },
    PartSlipsMidRun "part-slips-mid-run" { slip },
    ReferenceOnMovedPart "reference-on-moved-part" { part },
    WrongPart "wrong-part" { part },
});

/// The names of all faults, as files say them.
pub const FAULT_NAMES: [&str; 9] = [
    "painted-edge",
    "clamp-moved",
    "out-of-square",
    "wire-bent",
    "stick-out-changed",
    "probing-speed-changed",
    "part-slips-mid-run",
    "reference-on-moved-part",
    "wrong-part",
];
