use super::log::{EventKind, LegKind, RunKind, Search, SearchOutcome, Solution, SolutionOutcome};
use super::memory::{Memory, Reference, ReferenceTouch};
use super::runner::{FeltTouch, Halt, Runner, Sensing};
use super::steps::{Instruction, Routine, Step};
use crate::cell::{Cell, CellSettings, Noise, SearchResult, Wire};
use crate::geometry::{Point3, Pose, Vector3};
use crate::locate::{FaceNames, Fit, Freedoms, Touch, locate};
use crate::text::{Sentence, say};

/// The torch is upright while it feels.
const UPRIGHT_SEARCH: (LegKind, Vector3<f64>) = (LegKind::Search, Vector3::new(0.0, 0.0, 1.0));

impl Runner {
    /// Searches from where the torch stands. Without sensing voltage nothing is felt.
    pub(super) fn feel(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        reference_flag: bool,
        direction: &Vector3<f64>,
        face: &str,
    ) -> Result<(), Halt> {
        let Some(taught) = direction.try_normalize(1e-9) else {
            return self.cannot(step, say::no_direction());
        };
        let along = self.active_offset().map_or(taught, |pose| pose.vector(&taught));
        let start = self.torch;
        let number = self.searches;
        let sensing = self.driven(reference_flag);
        let outcome = if self.voltage && cell.can_sense() {
            self.search(step, cell, &along, sensing, face)?
        } else {
            self.push(step, cell, &along, sensing)?
        };
        let touched = matches!(outcome, SearchOutcome::Touch { .. });
        self.searches += 1;
        if self.told {
            let search = Search {
                step: step.id,
                face: face.into(),
                start,
                direction: along,
                time: self.log.duration,
                outcome,
            };
            self.write().searches.push(search);
        }
        if touched {
            self.event(step.id, EventKind::Touched { search: number });
            Ok(())
        } else {
            self.event(step.id, EventKind::SearchFailed { search: number });
            Err(Halt)
        }
    }

    /// A search whose contact is felt.
    fn search(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        along: &Vector3<f64>,
        Sensing { speed_mm_s, reach_mm }: Sensing,
        face: &str,
    ) -> Result<SearchOutcome, Halt> {
        let start = self.torch;
        let number = self.searches;
        Ok(match cell.search(&start, along, reach_mm) {
            SearchResult::Touch(touch) => {
                let furthest = start + along * touch.travel;
                let mut path = vec![start, furthest];
                // Where the wire had to press, the arm eases until the wire is straight again.
                path.extend(touch.pressed.map(|depth| furthest - along * depth));
                self.leg(step, path, speed_mm_s, UPRIGHT_SEARCH);
                let mut noise =
                    Noise::new(self.options.seed, self.options.number as u64, number as u64);
                let reading = cell.reading(&touch, along, speed_mm_s, &mut noise);
                self.felt.push(FeltTouch {
                    step: step.id,
                    face: face.into(),
                    reading,
                    search: *along,
                    speed_mm_s,
                });
                // Too fast for the wire to give: it stays bent.
                let bend = cell.touch_bend(&start, along, speed_mm_s);
                if bend.norm() > 0.0 && !cell.is_bridged() {
                    let here = (touch.body.clone(), self.torch, bend);
                    self.bent(step, cell, self.log.duration, here);
                }
                let back = cell.pushed_back(along, speed_mm_s);
                if back > 0.0 {
                    let stick_out_mm = cell.wire.stick_out_mm - back;
                    self.set_wire(cell, self.log.duration, Wire { stick_out_mm, ..cell.wire });
                }
                SearchOutcome::Touch {
                    contact: touch.contact,
                    reading,
                    body: touch.body,
                    normal: touch.normal,
                }
            }
            SearchResult::Nothing => {
                self.leg(step, vec![start, start + along * reach_mm], speed_mm_s, UPRIGHT_SEARCH);
                SearchOutcome::Nothing
            }
            SearchResult::AlreadyTouching { body } => SearchOutcome::AlreadyTouching { body },
            SearchResult::Collision(hit) => {
                let path = vec![start, start + along * hit.along];
                self.leg(step, path, speed_mm_s, UPRIGHT_SEARCH);
                return self.crashed(step, hit);
            }
        })
    }

    /// A search without voltage, or with the work lead off: the torch goes to the end of the reach, and
    /// what the wire meets on the way bends it. The wire gives way; the nozzle does not.
    fn push(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        along: &Vector3<f64>,
        Sensing { speed_mm_s, reach_mm }: Sensing,
    ) -> Result<SearchOutcome, Halt> {
        let start = self.torch;
        let met = match cell.search(&start, along, reach_mm) {
            SearchResult::Touch(touch) => Some((touch.body, touch.travel)),
            SearchResult::AlreadyTouching { body } => Some((body, 0.0)),
            SearchResult::Nothing | SearchResult::Collision(_) => None,
        };
        let nozzle = cell.nozzle_hit(&start, along, reach_mm);
        let end = nozzle.as_ref().map_or(reach_mm, |hit| hit.along);
        self.leg(step, vec![start, start + along * end], speed_mm_s, UPRIGHT_SEARCH);
        if let Some((body, travel)) = &met {
            let bend = cell.push_bend(&start, along, (end - travel).max(0.0));
            self.bent(step, cell, self.log.duration, (body.clone(), self.torch, bend));
        }
        match (nozzle, met) {
            (Some(hit), _) => self.crashed(step, hit),
            (None, Some((body, _))) => Ok(SearchOutcome::NotFelt { body }),
            (None, None) => Ok(SearchOutcome::Nothing),
        }
    }

    /// How searches are truly made: a planted fault changes the speed once the flag is off.
    fn driven(&self, reference_flag: bool) -> Sensing {
        match self.options.sensing_speed {
            Some(changed) if !reference_flag => Sensing { speed_mm_s: changed, ..self.sensing },
            _ => self.sensing,
        }
    }

    /// Names the run for what its operator knows, once it begins to feel.
    pub(super) fn name_run(&mut self, routine: &Routine, memory: &Memory) {
        if !self.told {
            return;
        }
        let ahead = routine.steps.get(self.next.saturating_sub(1)..).unwrap_or_default();
        let place = ahead.iter().find_map(|s| match &s.instruction {
            Instruction::Find { place, .. } => Some(place.as_str()),
            _ => None,
        });
        if self.log.kind == RunKind::Plain
            && let Some(place) = place
        {
            self.write().kind = self.kind_for(memory, place);
        }
    }

    fn kind_for(&self, memory: &Memory, place: &str) -> RunKind {
        if memory.reference_flag {
            return RunKind::Reference;
        }
        let unmoved = memory
            .references
            .get(place)
            .is_some_and(|r| same_place(r.believed, self.options.believed));
        match (unmoved, self.options.arc) {
            (true, _) => RunKind::Proof,
            (false, false) => RunKind::Dry,
            (false, true) => RunKind::Production,
        }
    }

    /// Stores the felt touches as the reference of a place, or solves its offset from them.
    pub(super) fn find(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        memory: &mut Memory,
        place: &str,
        may: Freedoms,
    ) -> Result<(), Halt> {
        // The flag may have been turned since the run was named.
        if self.told && self.log.solutions.is_empty() {
            self.write().kind = self.kind_for(memory, place);
        }
        let felt = std::mem::take(&mut self.felt);
        // A place has one reference: a second find would compare with the touches of another.
        if self.log.solutions.iter().any(|s| s.place == place && s.step != step.id) {
            let why = ("found_twice", say::found_twice(place));
            return self.refused(step, place, may, why);
        }
        if felt.is_empty() {
            let why = ("no_touch", say::nothing_felt());
            return self.refused(step, place, may, why);
        }
        // Inside a follow the touches are seen from the place that is followed.
        let followed = self.active_offset().unwrap_or_default();
        let touches = felt.iter().map(|t| seen_from(&followed, t)).collect();
        if memory.reference_flag {
            self.store(step, cell, memory, (place, may), touches, followed);
            return Ok(());
        }
        let faces: Vec<&str> = felt.iter().map(|t| t.face.as_str()).collect();
        let solved = solve(place, may, &touches, &faces, memory, cell.settings());
        if let Some(slip) = self.options.slip.take() {
            cell.place_part(slip * cell.work_from_part());
        }
        match solved {
            Ok(correction) => {
                let offset = followed * correction.motion;
                match memory.offsets.get_mut(place) {
                    Some(known) => *known = offset,
                    None => _ = memory.offsets.insert(place.into(), offset),
                }
                let found = SolutionOutcome::Found { located: Box::new(correction), offset };
                self.solution(step, place, may, found);
                self.event(step.id, EventKind::PlaceFound { place: place.into() });
                Ok(())
            }
            Err(refusal) => self.refused(step, place, may, refusal),
        }
    }

    /// A reference run: the touches are stored and the place is where it was taught, wherever the
    /// part is.
    fn store(
        &mut self,
        step: &Step,
        cell: &Cell,
        memory: &mut Memory,
        (place, may): (&str, Freedoms),
        touches: Vec<ReferenceTouch>,
        followed: Pose,
    ) {
        let reference = Reference {
            run: self.options.number,
            part: cell.work_from_part(),
            believed: self.options.believed,
            touches,
        };
        let overwrote = memory.references.insert(place.into(), reference).is_some();
        memory.offsets.insert(place.into(), followed);
        self.solution(step, place, may, SolutionOutcome::ReferenceStored);
        self.event(step.id, EventKind::ReferenceStored { place: place.into(), overwrote });
    }

    /// The place cannot be found: the run stops.
    fn refused(
        &mut self,
        step: &Step,
        place: &str,
        may: Freedoms,
        (code, why): (&'static str, Sentence),
    ) -> Result<(), Halt> {
        let outcome = SolutionOutcome::Refused { code, why: why.clone() };
        self.solution(step, place, may, outcome);
        self.event(step.id, EventKind::PlaceNotFound { place: place.into(), why });
        Err(Halt)
    }

    fn solution(&mut self, step: &Step, place: &str, may: Freedoms, outcome: SolutionOutcome) {
        let time = self.log.duration;
        self.write().solutions.push(Solution {
            step: step.id,
            place: place.into(),
            may,
            time,
            outcome,
        });
    }
}

/// A touch as it looks from a place that has this offset.
fn seen_from(offset: &Pose, touch: &FeltTouch) -> ReferenceTouch {
    let back = offset.inverse();
    ReferenceTouch {
        step: touch.step,
        reading: back.point(&touch.reading),
        search: back.vector(&touch.search),
        speed_mm_s: touch.speed_mm_s,
    }
}

/// The motion of a place from its stored reference to the touches; the reason, for the learner, if
/// there is none. `face_names` has the name of each touch's face.
fn solve(
    place: &str,
    may: Freedoms,
    felt: &[ReferenceTouch],
    face_names: &[&str],
    memory: &Memory,
    settings: &CellSettings,
) -> Result<Fit, (&'static str, Sentence)> {
    let Some(reference) = memory.references.get(place) else {
        return Err(("no_reference", say::no_reference(place)));
    };
    let mut faces = FaceNames::default();
    let mut touches = Vec::new();
    let mut speed_mm_s: f64 = 0.0;
    for (touch, name) in felt.iter().zip(face_names) {
        let Some(stored) = reference.touches.iter().find(|r| r.step == touch.step) else {
            return Err(("no_reference_touch", say::no_reference_touch(*name)));
        };
        speed_mm_s = speed_mm_s.max(stored.speed_mm_s);
        touches.push(Touch {
            face: faces.label(name),
            search: stored.search,
            reference: tip_centre(&stored.reading, settings),
            current: Some(tip_centre(&touch.reading, settings)),
        });
    }
    let sigma = reading_sigma(settings, speed_mm_s) * std::f64::consts::SQRT_2;
    locate(may, &touches, sigma).map_err(|refusal| (refusal.code(), refusal.said(faces.all())))
}

/// The centre of the wire's rounded tip: the point that keeps one wire radius from every face,
/// whichever way the face leans, so that the radius cancels between reference and production.
fn tip_centre(torch: &Point3<f64>, settings: &CellSettings) -> Point3<f64> {
    torch + Vector3::z() * settings.wire_radius()
}

/// Standard deviation of one reading along its search, mm: the stated repeatability, and the even
/// spread of the scan, whose variance is width²/12 (JCGM 100:2008, 4.3.7).
///
/// Reference and production have the same noise, so the estimator is given √2 times this. At least
/// a micrometre, also in a cell without noise.
pub fn reading_sigma(settings: &CellSettings, speed_mm_s: f64) -> f64 {
    let scan = speed_mm_s * settings.scan_s;
    let spread = settings.sigma_mm * settings.sigma_mm + scan * scan / 12.0;
    spread.sqrt().max(LEAST_SIGMA)
}

/// The least that is claimed of a reading, mm.
const LEAST_SIGMA: f64 = 1e-3;

/// Below this, mm and radians alike, two places of the part count as one: far finer than any touch.
const SAME_PLACE: f64 = 1e-6;

/// Whether the part lies in the same place.
pub fn same_place(a: crate::geometry::Pose, b: crate::geometry::Pose) -> bool {
    let d = a.inverse() * b;
    d.translation().norm() < SAME_PLACE && d.angle() < SAME_PLACE
}
