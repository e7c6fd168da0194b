use crate::cell::{Fault, Noise};
use crate::geometry::Vector3;
use crate::session::LookAt;
use serde::Serialize;
use std::f64::consts::TAU;
use strum::{EnumIter, IntoEnumIterator};

/// Stream of random numbers, beyond those of searches, of how the wire stands in a worn tip.
const TIP: u64 = u64::MAX - 2;

/// Growth, with each part, of the standard deviation either way of where the wire stands in a worn
/// contact tip, mm (common practice, no source).
const TIP_WEAR_MM: f64 = 0.15;

/// What goes wrong in a shift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, EnumIter)]
#[serde(rename_all = "snake_case")]
pub enum TroubleKind {
    /// Something has bent the wire. The next arc burns the bend away.
    WireBent,
    /// The contact tip wears: the wire stands elsewhere in it from part to part, by more and more.
    TipWorn,
    /// A clamp no longer holds: parts lie further apart, and slip after they were felt.
    ClampWorn,
    /// A batch that is out of square.
    OutOfSquare,
    /// The work lead has come off: nothing is felt.
    WorkLeadOff,
}

impl TroubleKind {
    /// Where it is found.
    pub const fn shows_at(self) -> LookAt {
        match self {
            Self::WireBent | Self::TipWorn => LookAt::WireTip,
            Self::ClampWorn => LookAt::Clamps,
            Self::OutOfSquare => LookAt::Part,
            Self::WorkLeadOff => LookAt::WorkLead,
        }
    }
}

/// One thing that goes wrong in a shift.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trouble {
    /// What.
    pub kind: TroubleKind,
    /// The first part it concerns, from 1.
    pub from: usize,
    /// The last one, unless it is mended before.
    pub until: usize,
    /// How much: of the bend or the slip, mm; of a part out of square, degrees; else 0.
    pub size: f64,
    /// Direction of a bend on the plan, radians from +X.
    pub direction: f64,
    /// The part at which it was mended.
    pub mended_at: Option<usize>,
}

impl Trouble {
    /// Whether it concerns this part.
    pub fn is_active(&self, part: usize) -> bool {
        self.mended_at.is_none() && (self.from..=self.until).contains(&part)
    }

    /// The fault of the cell that it amounts to at this part.
    pub(super) fn fault(&self, part: usize, seed: u64) -> Option<Fault> {
        let (sin, cos) = (libm::sin(self.direction), libm::cos(self.direction));
        match self.kind {
            TroubleKind::WireBent => {
                Some(Fault::WireBent { bend: Vector3::new(cos, sin, 0.0) * self.size })
            }
            TroubleKind::OutOfSquare => Some(Fault::OutOfSquare { lean_deg: self.size }),
            TroubleKind::WorkLeadOff => Some(Fault::WorkLeadOff),
            TroubleKind::TipWorn => {
                let mut noise = Noise::new(seed, part as u64, TIP);
                let wear = TIP_WEAR_MM * (part - self.from + 1) as f64;
                let bend = Vector3::new(noise.normal(), noise.normal(), 0.0) * wear;
                Some(Fault::WireBent { bend })
            }
            TroubleKind::ClampWorn => None,
        }
    }
}

/// The share of a shift in which nothing is wrong yet, so that one sees what is usual.
const QUIET_START: f64 = 0.2;
/// Greatest number of troubles in a shift.
const MOST_TROUBLES: usize = 3;

/// What goes wrong in this shift, by its first part; nothing at all in one shift of four.
pub(super) fn draw(seed: u64, parts: usize) -> Vec<Trouble> {
    // Apart from the numbers of every part.
    let mut noise = Noise::new(seed, u64::MAX, 0);
    let mut left: Vec<TroubleKind> = TroubleKind::iter().collect();
    let quiet = (QUIET_START * parts as f64).ceil() as usize;
    let troubles = (0..noise.index(MOST_TROUBLES + 1)).map(|_| {
        let kind = left.swap_remove(noise.index(left.len()));
        let from = quiet + 1 + noise.index(parts.saturating_sub(quiet).max(1));
        let mut between = |low: f64, high: f64| low + (high - low) * noise.uniform();
        let (until, size) = match kind {
            TroubleKind::WireBent => (from, between(1.5, 3.0)),
            TroubleKind::TipWorn | TroubleKind::WorkLeadOff => (parts, 0.0),
            TroubleKind::ClampWorn => (parts, between(1.5, 2.5)),
            TroubleKind::OutOfSquare => {
                let lean = between(1.4, 2.2);
                let side = if between(-1.0, 1.0) < 0.0 { -1.0 } else { 1.0 };
                (from + 5 + between(0.0, 6.0) as usize, side * lean)
            }
        };
        let direction = between(0.0, TAU);
        Trouble { kind, from, until: until.min(parts), size, direction, mended_at: None }
    });
    let mut troubles: Vec<_> = troubles.collect();
    troubles.sort_by_key(|t| t.from);
    troubles
}
