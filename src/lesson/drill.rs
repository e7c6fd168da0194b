//! Faults of a drill: how a seed draws them, how the learner sees them, and how they are repaired.

use super::goal::wire_in_order;
use super::model::Faces;
use crate::cell::{Fault, Noise, Part, Repair, edge_met};
use crate::geometry::{PoseFile, Vector3};
use crate::io::{array, internally_tagged};
use crate::session::{Action, State};
use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

/// A fault whose numbers are drawn from ranges. Where a number can have either sign, the sign is drawn
/// too.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, IntoStaticStr)]
#[serde(remote = "Self", rename_all = "kebab-case", deny_unknown_fields)]
#[strum(serialize_all = "kebab-case")]
pub enum FaultTemplate {
    /// Paint where one of the touches lands.
    PaintedEdge {
        /// How deep the wire presses in, mm.
        #[serde(deserialize_with = "array")]
        depth_mm: [f64; 2],
    },
    /// A tack weld where one of the touches lands.
    TackOnEdge {
        /// How far it sticks out, mm.
        #[serde(deserialize_with = "array")]
        out_mm: [f64; 2],
    },
    /// A clamp stands where one of the searches starts.
    ClampMoved {},
    /// The part leans.
    OutOfSquare {
        /// By how much, degrees.
        #[serde(deserialize_with = "array")]
        lean_deg: [f64; 2],
    },
    /// The wire is bent.
    WireBent {
        /// By how much along X and along Y, mm.
        #[serde(deserialize_with = "array")]
        bend_mm: [f64; 2],
    },
    /// The work lead has come off.
    WorkLeadOff {},
    /// Spatter bridges nozzle and contact tip.
    SpatterBridge {},
    /// The sensing speed differs from that of the routine.
    SensingSpeedChanged {
        /// To what, mm/s.
        #[serde(deserialize_with = "array")]
        speed_mm_s: [f64; 2],
    },
    /// The part slips after its last touch.
    PartSlipsMidRun {
        /// How far along X and along Y, mm.
        #[serde(deserialize_with = "array")]
        slip_mm: [f64; 2],
    },
    /// The part did not lie where it was taught while the reference was taken.
    ReferenceOnMovedPart {
        /// How far along X and along Y, mm.
        #[serde(deserialize_with = "array")]
        away_mm: [f64; 2],
    },
    /// Another part was loaded.
    WrongPart {
        /// Name of the part on the drawing.
        on: String,
        /// Name of the part in the cell.
        part: String,
    },
}

internally_tagged!(FaultTemplate, "cause");

impl FaultTemplate {
    /// Its name in files, the same as that of the fault.
    pub fn name(&self) -> &'static str {
        self.into()
    }

    /// Name of the part that must be drawn, if the fault needs a certain one.
    pub(super) fn on(&self) -> Option<&str> {
        match self {
            Self::WrongPart { on, .. } => Some(on),
            _ => None,
        }
    }

    /// Draws the numbers of the fault on this part; `None` if the part has no place for it.
    pub(super) fn draw(&self, part: &Part, faces: &Faces, dice: &mut Noise) -> Option<Fault> {
        let level: Vec<_> = faces.iter().flatten().filter(|t| t.direction[2].abs() < 0.5).collect();
        let t = level.get(dice.index(level.len()))?;
        let d = Vector3::from(t.direction);
        let mut within = |r: &[f64; 2]| r[0] + (r[1] - r[0]) * dice.uniform();
        let sign = |v: f64, s: f64| if s < 0.5 { -v } else { v };
        Some(match self {
            Self::PaintedEdge { depth_mm } => {
                let depth_mm = within(depth_mm);
                let met = edge_met(part, &t.from, &d)?;
                let [from_mm, to_mm] = met.around(30.0);
                Fault::PaintedEdge { body: met.body, edge: met.edge, from_mm, to_mm, depth_mm }
            }
            Self::TackOnEdge { out_mm } => {
                let out_mm = within(out_mm);
                let met = edge_met(part, &t.from, &d)?;
                let [from_mm, to_mm] = met.around(8.0);
                Fault::TackOnEdge { body: met.body, edge: met.edge, from_mm, to_mm, out_mm }
            }
            Self::ClampMoved {} => {
                let n = dice.index(part.clamps.len());
                let clamp = part.clamps.get(n)?;
                let [x, y] = [0, 1].map(|i| {
                    let all = clamp.outline.corners.iter().map(|c| c.at[i]);
                    let (lo, hi) = all.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
                    (f64::midpoint(lo, hi), (hi - lo) / 2.0)
                });
                let deep = x.1 * d.x.abs() + y.1 * d.y.abs() - 4.0;
                let at = t.from - d * deep;
                Fault::ClampMoved { clamp: clamp.name.clone(), dx: at.x - x.0, dy: at.y - y.0 }
            }
            Self::OutOfSquare { lean_deg } => {
                let v = within(lean_deg);
                Fault::OutOfSquare { lean_deg: sign(v, within(&[0.0, 1.0])) }
            }
            Self::WireBent { bend_mm } => {
                let (x, y) = (within(bend_mm), within(bend_mm));
                let (x, y) = (sign(x, within(&[0.0, 1.0])), sign(y, within(&[0.0, 1.0])));
                Fault::WireBent { bend: Vector3::new(x, y, 0.0) }
            }
            Self::WorkLeadOff {} => Fault::WorkLeadOff,
            Self::SpatterBridge {} => Fault::SpatterBridge,
            Self::SensingSpeedChanged { speed_mm_s } => {
                Fault::SensingSpeedChanged { speed_mm_s: within(speed_mm_s).round() }
            }
            Self::PartSlipsMidRun { slip_mm } => {
                let (dx, dy) = (within(slip_mm), within(slip_mm));
                let (dx, dy) = (sign(dx, within(&[0.0, 1.0])), sign(dy, within(&[0.0, 1.0])));
                Fault::PartSlipsMidRun { slip: PoseFile { dx, dy, ..PoseFile::default() } }
            }
            Self::ReferenceOnMovedPart { away_mm } => {
                let (dx, dy) = (within(away_mm), within(away_mm));
                let (dx, dy) = (sign(dx, within(&[0.0, 1.0])), sign(dy, within(&[0.0, 1.0])));
                Fault::ReferenceOnMovedPart { part: PoseFile { dx, dy, ..PoseFile::default() } }
            }
            Self::WrongPart { part, .. } => Fault::WrongPart { part: part.clone() },
        })
    }
}

/// The actions that repair a known fault, without the runs that prove it.
pub(super) fn repair(fault: &Fault, state: &State) -> Vec<Action> {
    let straight = Action::CutWire { stick_out_mm: state.settings.stick_out_mm };
    let clear = Action::ClearFault { fault: fault.name().into() };
    let mut actions = match fault.kind().repair {
        Repair::CutWire => vec![straight],
        // A run that stopped on the way may have left it bent, or as the arc did.
        Repair::ClearFault if wire_in_order(state) => vec![clear],
        Repair::ClearFault => vec![clear, straight],
    };
    if matches!(fault, Fault::ReferenceOnMovedPart { .. }) {
        actions.push(Action::place_part(PoseFile::default()));
    }
    actions
}
