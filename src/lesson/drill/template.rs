//! Faults whose numbers a seed draws.

use crate::cell::{CellSettings, EdgeMade, Fault, Noise, Part, edge_met, fault_kind};
use crate::geometry::{Pose, PoseFile, Vector3};
use crate::io::{array, internally_tagged};
use crate::lesson::model::Faces;
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
    /// The wire is as the last arc left it.
    UntrimmedWire {
        /// By how much it is too long or too short, mm.
        #[serde(deserialize_with = "array")]
        off_mm: [f64; 2],
    },
    /// The contact tip is worn.
    TipWorn {
        /// Standard deviation of where the wire stands in it, mm.
        #[serde(deserialize_with = "array")]
        wear_mm: [f64; 2],
    },
    /// The edge where one of the touches lands is rough.
    RoughEdge {
        /// How it was made in truth.
        made: EdgeMade,
    },
    /// The upright plate has moved on the part.
    LooseUpright {
        /// How far across the seam, mm.
        #[serde(deserialize_with = "array")]
        moved_mm: [f64; 2],
    },
    /// A worn clamp lets the part lie further away than the fixture should.
    WornClamp {
        /// How far from its drawn place, as a multiple of the play.
        #[serde(deserialize_with = "array")]
        plays: [f64; 2],
    },
}

internally_tagged!(FaultTemplate, "cause");

impl FaultTemplate {
    /// Its name in files, the same as that of the fault.
    pub fn name(&self) -> &'static str {
        self.into()
    }

    /// Name of the part that must be drawn, if the fault needs a certain one.
    pub(in crate::lesson) fn on(&self) -> Option<&str> {
        match self {
            Self::WrongPart { on, .. } => Some(on),
            _ => None,
        }
    }

    /// Draws the numbers of the fault on this part; `None` if the part has no place for it. `put` is where
    /// the part is put for the last run.
    pub(super) fn draw(
        &self,
        part: &Part,
        faces: &Faces,
        put: &PoseFile,
        dice: &mut Noise,
    ) -> Option<Fault> {
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
            Self::WrongPart { on, part: other } => {
                if *on != part.name {
                    return None;
                }
                Fault::WrongPart { part: other.clone() }
            }
            Self::UntrimmedWire { off_mm } => {
                let off = within(off_mm);
                let set = CellSettings::default().stick_out_mm;
                Fault::UntrimmedWire { stick_out_mm: set + sign(off, within(&[0.0, 1.0])) }
            }
            Self::TipWorn { wear_mm } => Fault::TipWorn { wear_mm: within(wear_mm) },
            Self::RoughEdge { made } => {
                let met = edge_met(part, &t.from, &d)?;
                Fault::RoughEdge { body: met.body, edge: met.edge, made: *made }
            }
            Self::LooseUpright { moved_mm } => {
                let Fault::LooseUpright { body, dx, dy } = typical("loose-upright", part)? else {
                    return None;
                };
                let by = within(moved_mm) / libm::hypot(dx, dy);
                let by = sign(by, within(&[0.0, 1.0]));
                Fault::LooseUpright { body, dx: dx * by, dy: dy * by }
            }
            Self::WornClamp { plays } => {
                let about = part.play.about.into();
                let there = Pose::from(*put).displacement(&about);
                let far = within(plays);
                // Away from where the search starts, so that it still finds the part.
                let away = Vector3::new(
                    d.x * part.play.dx * far - there.x,
                    d.y * part.play.dy * far - there.y,
                    0.0,
                );
                let away = away.component_mul(&d.abs());
                let away = PoseFile { dx: away.x, dy: away.y, ..PoseFile::default() };
                Fault::WornClamp { away }
            }
        })
    }
}

/// The fault of this kind as it suits the part.
fn typical(kind: &str, part: &Part) -> Option<Fault> {
    (fault_kind(kind)?.typical)(part, &CellSettings::default())
}
