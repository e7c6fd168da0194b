use crate::cell::{Cell, CellSettings, SearchResult};
use crate::geometry::{Point3, Vector3};
use crate::locate::{FaceNames, Forecast, Freedoms, LocateError, Touch, forecast};
use crate::routine::{Instruction, Routine, Structure, reading_sigma};
use crate::session::State;
use std::f64::consts::SQRT_2;

/// One touch of a find.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedTouch {
    /// Index of its step.
    pub step: usize,
    /// The learner's name for the face.
    pub face: String,
    /// Name of the point it starts from.
    pub point: String,
    /// Where this point is, work frame, mm.
    pub from: Point3<f64>,
    /// Direction of its search, work frame.
    pub direction: Vector3<f64>,
    /// Speed of its search, mm/s.
    pub speed_mm_s: f64,
    /// Greatest length of its search, mm.
    pub reach_mm: f64,
    /// First contact of the wire with the part where it was taught, work frame, mm.
    pub contact: Option<Point3<f64>>,
    /// Standard deviation of the difference of its two readings, reference and production, along the
    /// search, mm. A rough edge counts as what it is.
    pub sigma_mm: f64,
}

impl PlannedTouch {
    /// What tells it from the other touches of its routine wherever the steps stand: its point and face.
    pub fn name(&self) -> String {
        format!("{} {}", self.point, self.face)
    }

    /// How far the wire moves before it touches, mm.
    pub fn distance(&self) -> Option<f64> {
        Some((self.contact? - self.from).norm())
    }
}

/// One find with its touches.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedFind {
    /// The place it finds.
    pub place: String,
    /// What the part may have done.
    pub may: Freedoms,
    /// Its touches in the order of the routine.
    pub touches: Vec<PlannedTouch>,
    /// Index in the routine's finds of the one whose place is followed while these touches are made.
    pub after: Option<usize>,
}

/// Every find in the order of the routine, the touches as a cell without faults gives them.
pub(super) fn finds(state: &State, routine: &Routine, structure: &Structure) -> Vec<PlannedFind> {
    let cell = Cell::new(&state.part, &state.settings, &[]).ok().map(|mut cell| {
        cell.place_part(state.reference_pose().unwrap_or_default());
        cell
    });
    let touch = |i: &usize| {
        let Instruction::Feel { from, direction, face, .. } = &routine.steps[*i].instruction else {
            return None;
        };
        let start = routine.point(from)?;
        let (speed_mm_s, reach_mm) = structure.search_of(*i);
        let found = cell.as_ref().map(|cell| cell.search(&start.at, direction, reach_mm));
        let (contact, scatter) = match found {
            Some(SearchResult::Touch(touch)) => (Some(touch.contact), touch.scatter),
            _ => (None, 1.0),
        };
        Some(PlannedTouch {
            step: *i,
            face: face.clone(),
            point: from.clone(),
            from: start.at,
            direction: *direction,
            speed_mm_s,
            reach_mm,
            contact,
            sigma_mm: difference_sigma(&state.settings, scatter, speed_mm_s),
        })
    };
    let mut finds: Vec<PlannedFind> = Vec::with_capacity(structure.finds.len());
    for find in &structure.finds {
        let follow = find.feels.first().and_then(|feel| structure.follow_at(*feel));
        let after = follow.and_then(|follow| {
            let before = structure.finds.iter().take(finds.len());
            before.clone().rposition(|f| f.step < follow.begin && f.place == follow.place)
        });
        finds.push(PlannedFind {
            place: find.place.clone(),
            may: find.may,
            touches: find.feels.iter().filter_map(touch).collect(),
            after,
        });
    }
    finds
}

/// Standard deviation of the difference of two readings on an edge that scatters so many times as much as
/// a machined one, mm: reference and production have the same noise.
pub(crate) fn difference_sigma(settings: &CellSettings, scatter: f64, speed_mm_s: f64) -> f64 {
    let rough = CellSettings { sigma_mm: settings.sigma_mm * scatter, ..*settings };
    reading_sigma(&rough, speed_mm_s) * SQRT_2
}

impl PlannedFind {
    /// What the solver will make of these touches; with it the names of the faces, in its order.
    pub(super) fn forecast(&self) -> (Result<Forecast, LocateError>, FaceNames<'_>) {
        let mut faces = FaceNames::default();
        let mut touches = Vec::new();
        for t in &self.touches {
            let face = faces.label(&t.face);
            touches.push(Touch::taught(face, t.direction, t.contact.unwrap_or(t.from)));
        }
        // The controller takes all touches for equally good.
        let sigma = self.touches.iter().map(|t| t.sigma_mm).fold(f64::MIN_POSITIVE, f64::max);
        (forecast(self.may, &touches, sigma), faces)
    }
}
