//! Faults of a drill: how a seed draws them, how the learner sees them, and how they are repaired.

use super::model::Faces;
use crate::cell::{FAULT_NAMES, Fault, Noise, Part};
use crate::geometry::{Point2, Point3, PoseFile, Vector3};
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
    /// The probing speed differs from that of the plan.
    ProbingSpeedChanged {
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
}

/// The texts of a cause, for the learner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cause {
    /// The name of the fault, for [`Action::Name`] and [`Action::ClearFault`].
    pub name: &'static str,
    /// What is wrong.
    pub says: &'static str,
    /// What the runs show.
    pub sign: &'static str,
    /// What repairs it.
    pub mend: &'static str,
    /// The action that mends it.
    pub repair: Repair,
}

/// The action that mends a [`Cause`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Repair {
    /// [`Action::CutWire`], to the stick-out that was taught.
    CutWire,
    /// [`Action::ClearFault`].
    ClearFault,
}

/// Every cause that a drill can plant, in the order of [`FAULT_NAMES`].
pub const CAUSES: [Cause; 9] = [
    Cause {
        name: FAULT_NAMES[0],
        says: "paint on an edge",
        sign: "The touches disagree. One of them lies too deep, and the others are right.",
        mend: "clean the edge",
        repair: Repair::ClearFault,
    },
    Cause {
        name: FAULT_NAMES[1],
        says: "a clamp stands in the way",
        sign: "The run stops, and the log names a clamp.",
        mend: "put the clamp back",
        repair: Repair::ClearFault,
    },
    Cause {
        name: FAULT_NAMES[2],
        says: "the part is out of square",
        sign: "The touches disagree. Those on one side are off, and by different amounts.",
        mend: "load a square part",
        repair: Repair::ClearFault,
    },
    Cause {
        name: FAULT_NAMES[3],
        says: "the wire is bent",
        sign: "The touches agree, and the weld misses. After the arc the next run is right: it has burnt the bent end away.",
        mend: "cut the wire",
        repair: Repair::CutWire,
    },
    Cause {
        name: FAULT_NAMES[4],
        says: "the stick-out was changed",
        sign: "Touches from above are off by the same amount; touches from the side are right.",
        mend: "cut the wire to its old length",
        repair: Repair::CutWire,
    },
    Cause {
        name: FAULT_NAMES[5],
        says: "the probing speed was changed",
        sign: "Every touch lies too deep by the same amount. The searches took less time.",
        mend: "set the probing speed back",
        repair: Repair::ClearFault,
    },
    Cause {
        name: FAULT_NAMES[6],
        says: "the part slips after its touches",
        sign: "The touches agree and the offset is right. The part lies elsewhere when it is welded.",
        mend: "tighten the clamp",
        repair: Repair::ClearFault,
    },
    Cause {
        name: FAULT_NAMES[7],
        says: "the reference was taken on a moved part",
        sign: "The run after the reference found an offset, although nobody had moved the part.",
        mend: "seat the part, and take the reference again",
        repair: Repair::ClearFault,
    },
    Cause {
        name: FAULT_NAMES[8],
        says: "another part was loaded",
        sign: "The touches agree, and the weld runs into something that the drawing shows elsewhere.",
        mend: "load the right part",
        repair: Repair::ClearFault,
    },
];

/// The cause of that name.
pub fn cause(name: &str) -> Option<&'static Cause> {
    CAUSES.iter().find(|c| c.name == name)
}

impl FaultTemplate {
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
                let (body, edge, along, length) = edge_met(part, &t.from, &d)?;
                let (from_mm, to_mm) = ((along - 30.0).max(0.0), (along + 30.0).min(length));
                Fault::PaintedEdge { body, edge, from_mm, to_mm, depth_mm }
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
            Self::ProbingSpeedChanged { speed_mm_s } => {
                Fault::ProbingSpeedChanged { speed_mm_s: within(speed_mm_s).round() }
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

/// The edge of the part that a level search meets first: body, number of the edge, how far along it
/// from its first corner, and its length.
fn edge_met(
    part: &Part,
    from: &Point3<f64>,
    d: &Vector3<f64>,
) -> Option<(String, usize, f64, f64)> {
    let mut best: Option<(f64, (String, usize, f64, f64))> = None;
    for body in part.bodies.iter().filter(|b| b.z[0] <= from.z + 1.0 && from.z <= b.z[1]) {
        let corners = &body.outline.corners;
        for i in 0..corners.len() {
            let (a, b): (Point2<f64>, Point2<f64>) =
                (corners[i].at, corners[(i + 1) % corners.len()].at);
            let u = b - a;
            let cross = d.x * u.y - d.y * u.x;
            if cross.abs() < 1e-9 {
                continue;
            }
            let v = a - from.xy();
            let travel = (v.x * u.y - v.y * u.x) / cross;
            let along = (v.x * d.y - v.y * d.x) / cross;
            let nearer = best.as_ref().is_none_or(|(t, _)| travel < *t);
            if travel > 0.0 && (0.0..=1.0).contains(&along) && nearer {
                let found = (body.name.clone(), i, along * u.norm(), u.norm());
                best = Some((travel, found));
            }
        }
    }
    best.map(|(_, found)| found)
}

/// The actions that repair a known fault, without the runs that prove it.
pub(super) fn repair(fault: &Fault, state: &State) -> Vec<Action> {
    let straight = Action::CutWire { stick_out_mm: state.settings.stick_out_mm };
    let mut actions = match fault {
        Fault::WireBent { .. } | Fault::StickOutChanged { .. } => vec![straight],
        other => {
            let clear = Action::ClearFault { fault: other.name().into() };
            // A crash may have bent the wire.
            let bent = state.bend.norm() > 0.0;
            if bent { vec![clear, straight] } else { vec![clear] }
        }
    };
    if matches!(fault, Fault::ReferenceOnMovedPart { .. }) {
        actions.push(Action::PlacePart { part: PoseFile::default() });
    }
    actions
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Vector3;

    #[test]
    fn only_faults_of_the_wire_are_mended_by_cutting_it() {
        let of_the_wire = [
            Fault::WireBent { bend: Vector3::zeros() }.name(),
            Fault::StickOutChanged { stick_out_mm: 15.0 }.name(),
        ];
        for cause in &CAUSES {
            let cut = cause.repair == Repair::CutWire;
            assert_eq!(cut, of_the_wire.contains(&cause.name), "{}", cause.name);
        }
    }
}
