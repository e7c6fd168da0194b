//! What was measured at the real cell, beside what was forecast and assumed.

use super::planned::{PlannedFind, PlannedTouch};
use super::spread::PlaceSpread;
use super::weld::SeamForecast;
use crate::cell::{Cell, FixturePlay, SearchResult, WireContact};
use crate::geometry::{Pose, PoseFile};
use crate::locate::{Freedom, STATED_SIGMAS, chi2_limit};
use crate::session::State;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Numbers that were written down at the real cell.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CellNumbers {
    /// The readings of each touch, by [`PlannedTouch::name`].
    pub touches: BTreeMap<String, TouchNumbers>,
    /// The offsets of each place, by its name.
    pub places: BTreeMap<String, PlaceNumbers>,
}

/// How far the search of one touch went until it touched, mm.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TouchNumbers {
    /// In the reference run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reference: Option<f64>,
    /// In the proof run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub proof: Option<f64>,
}

/// The offsets that the cell showed of one place.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlaceNumbers {
    /// In the proof run, the part not moved.
    pub proof: OffsetNumbers,
    /// On the first part that had moved.
    pub moved: OffsetNumbers,
}

/// An offset as a cell shows it: shift of the origin of the work frame, mm, and rotation, degrees, of
/// what the part may have done.
pub type OffsetNumbers = BTreeMap<Freedom, f64>;

/// What the numbers from the cell say of what was assumed. What was not measured yet is left out.
#[derive(Debug, Clone, PartialEq)]
pub struct CellFindings {
    /// How the touches scattered.
    pub scatter: Option<ScatterSeen>,
    /// By how much the offsets of the proof run would move the weld ends.
    pub proof: Vec<EndSeen>,
    /// Places whose offset in the proof run is larger than chance makes it, also along a seam.
    pub still: Vec<StillSeen>,
    /// How the first moved part lay within the play.
    pub moved: Vec<MoveSeen>,
}

/// How far the readings of reference and proof were apart, against what was assumed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScatterSeen {
    /// Number of touches with both readings.
    pub touches: usize,
    /// Root mean square of the differences, each in standard deviations as assumed: about 1.
    pub factor: f64,
    /// What chance exceeds in 1 proof of 100 (chi-squared, a degree of freedom a touch).
    pub limit: f64,
    /// The touch that differed most, from 0 in the order of the routine.
    pub worst: usize,
}

impl ScatterSeen {
    /// Whether the touches scatter no more than was assumed.
    pub fn as_assumed(&self) -> bool {
        self.factor <= self.limit
    }
}

/// A weld end in the proof run.
#[derive(Debug, Clone, PartialEq)]
pub struct EndSeen {
    /// Name of the seam.
    pub seam: String,
    /// Whether it is the end of the weld, and not its start.
    pub at_end: bool,
    /// How far the offset would move it across seam and wire, mm, with its sign.
    pub off_mm: f64,
    /// Three standard deviations of the forecast, mm.
    pub forecast_mm: f64,
}

impl EndSeen {
    /// Whether it is as small as forecast.
    pub fn as_forecast(&self) -> bool {
        self.off_mm.abs() <= self.forecast_mm
    }
}

/// A place that the proof run found moved, where nothing had.
#[derive(Debug, Clone, PartialEq)]
pub struct StillSeen {
    /// Name of the place.
    pub place: String,
    /// What was found that is more than three standard deviations of the forecast.
    pub beyond: Vec<Beyond>,
}

/// A part that had moved.
#[derive(Debug, Clone, PartialEq)]
pub struct MoveSeen {
    /// Name of the place.
    pub place: String,
    /// The point of the part whose motion is compared with the play, part frame, mm.
    pub about: [f64; 3],
    /// Where it went further than the fixture was said to let it.
    pub beyond: Vec<Beyond>,
    /// The touches that meet nothing, or something else first, with the part there; from 0 in the order
    /// of the routine.
    pub lost: Vec<usize>,
}

/// One motion that is larger than it may be: mm or degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// What it did.
    pub freedom: Freedom,
    /// By how much, with its sign.
    pub by: f64,
    /// The limit, either way.
    pub limit: f64,
}

/// What an offset may be beyond the play, as it is read to a tenth: half a unit of the last digit.
const READ_TO: f64 = 0.05;

impl CellFindings {
    /// What these numbers say of a session's routine, with its forecast.
    pub fn of(state: &State, forecast: &SeamForecast, numbers: &CellNumbers) -> Self {
        Self {
            scatter: scatter(&forecast.finds, numbers),
            proof: proof(forecast, numbers),
            still: still(&forecast.finds, numbers),
            moved: moved(state, forecast, numbers),
        }
    }

    /// Whether nothing was measured that could be compared.
    pub fn is_empty(&self) -> bool {
        self.scatter.is_none()
            && self.proof.is_empty()
            && self.still.is_empty()
            && self.moved.is_empty()
    }
}

/// The offset, if every freedom of the find has a number; none of a find that solves for nothing.
fn whole(find: &PlannedFind, numbers: &OffsetNumbers) -> Option<Pose> {
    find.may.list().next()?;
    let of = |freedom| {
        if !find.may.has(freedom) {
            return Some(0.0);
        }
        numbers.get(&freedom).copied().filter(|n| n.is_finite())
    };
    let motion = PoseFile {
        dx: of(Freedom::X)?,
        dy: of(Freedom::Y)?,
        dz: of(Freedom::Height)?,
        tilt_x_deg: of(Freedom::TiltX)?,
        tilt_y_deg: of(Freedom::TiltY)?,
        turn_deg: of(Freedom::Turn)?,
    };
    Some(motion.into())
}

/// The differences are independent and normal, so that their squares add up to a chi-squared.
fn scatter(finds: &[PlannedFind], numbers: &CellNumbers) -> Option<ScatterSeen> {
    let apart = |(n, touch): (usize, &PlannedTouch)| {
        let seen = numbers.touches.get(&touch.name())?;
        let sigmas = (seen.proof? - seen.reference?) / touch.sigma_mm;
        sigmas.is_finite().then_some((n, sigmas * sigmas))
    };
    let all: Vec<_> = touches(finds).enumerate().filter_map(apart).collect();
    let (worst, _) = *all.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let count = all.len() as f64;
    let sum: f64 = all.iter().map(|(_, square)| square).sum();
    Some(ScatterSeen {
        touches: all.len(),
        factor: (sum / count).sqrt(),
        limit: (chi2_limit(all.len()) / count).sqrt(),
        worst,
    })
}

fn proof(forecast: &SeamForecast, numbers: &CellNumbers) -> Vec<EndSeen> {
    let mut seen = Vec::new();
    for weld in &forecast.welds {
        let find = &forecast.finds[weld.find];
        let offset = numbers.places.get(&find.place).and_then(|n| whole(find, &n.proof));
        let (Some(offset), Ok(ends)) = (offset, &weld.ends) else { continue };
        seen.extend(ends.iter().enumerate().map(|(n, end)| EndSeen {
            seam: weld.seam.clone(),
            at_end: n == 1,
            off_mm: offset.displacement(&end.at).dot(&weld.line.across_wire),
            forecast_mm: STATED_SIGMAS * end.across,
        }));
    }
    seen
}

/// Each number of an offset is a sum of the errors of the touches, and so has a spread of its own, at the origin
/// of the work frame.
fn still(finds: &[PlannedFind], numbers: &CellNumbers) -> Vec<StillSeen> {
    let of = |(n, find): (usize, &PlannedFind)| {
        let offset = &numbers.places.get(&find.place)?.proof;
        whole(find, offset)?;
        let spread = PlaceSpread::of(finds, n).ok()?.covariance().full;
        let beyond = find.may.list().filter_map(|freedom| {
            let by = *offset.get(&freedom)?;
            let sigma = spread[(freedom.axis(), freedom.axis())].sqrt();
            let limit = STATED_SIGMAS * if freedom.is_turn() { sigma.to_degrees() } else { sigma };
            (by.abs() > limit).then_some(Beyond { freedom, by, limit })
        });
        let beyond: Vec<_> = beyond.collect();
        (!beyond.is_empty()).then(|| StillSeen { place: find.place.clone(), beyond })
    };
    finds.iter().enumerate().filter_map(of).collect()
}

/// Only of places that are found with nothing followed: a body that moves by itself has a play of its own.
fn moved(state: &State, forecast: &SeamForecast, numbers: &CellNumbers) -> Vec<MoveSeen> {
    let whole_parts = forecast.finds.iter().filter(|find| find.after.is_none());
    let of = |find: &PlannedFind| {
        let motion = whole(find, &numbers.places.get(&find.place)?.moved)?;
        let part = motion * forecast.reference;
        let beyond = beyond(&state.part.play, &part);
        Some(MoveSeen {
            place: find.place.clone(),
            about: state.part.play.about,
            beyond,
            lost: lost(state, forecast, find, &part),
        })
    };
    whole_parts.filter_map(of).collect()
}

fn beyond(play: &FixturePlay, part: &Pose) -> Vec<Beyond> {
    let all =
        play.motion(part).map(|(freedom, by)| Beyond { freedom, by, limit: play.limit(freedom) });
    all.into_iter().filter(|b| b.by.abs() > b.limit + READ_TO).collect()
}

/// The touches of a find that do not meet with the part there what they meet as taught.
fn lost(state: &State, forecast: &SeamForecast, find: &PlannedFind, part: &Pose) -> Vec<usize> {
    let Ok(mut cell) = Cell::new(&state.part, &state.settings, &[]) else { return Vec::new() };
    let mut meets = |touch: &PlannedTouch, pose: &Pose| {
        cell.place_part(*pose);
        match cell.search(&touch.from, &touch.direction, touch.reach_mm) {
            SearchResult::Touch(met) => Some(met),
            _ => None,
        }
    };
    let moved = *part * forecast.reference.inverse();
    let all = touches(&forecast.finds).enumerate();
    let of_find = all.filter(|(_, touch)| find.touches.iter().any(|own| own.step == touch.step));
    let changed = of_find.filter(|(_, touch)| {
        let taught = meets(touch, &forecast.reference);
        let now = meets(touch, part);
        let same = |taught: &WireContact, now: &WireContact| {
            now.is_on(&taught.body, &moved.vector(&taught.normal))
        };
        taught.is_some_and(|taught| !now.is_some_and(|now| same(&taught, &now)))
    });
    changed.map(|(n, _)| n).collect()
}

fn touches(finds: &[PlannedFind]) -> impl Iterator<Item = &PlannedTouch> {
    finds.iter().flat_map(|find| &find.touches)
}
