use super::log::{EventKind, LegKind, RunKind, Search, SearchOutcome, Solution, SolutionOutcome};
use super::memory::{Memory, Reference, ReferenceTouch};
use super::runner::{OpenProbing, OpenTouch, Runner, Stop};
use super::steps::{DEFAULT_PROBING_SPEED_MM_S, DEFAULT_REACH_MM, ProbePlan, Routine, Step};
use crate::cell::{Cell, CellSettings, Noise, SearchResult};
use crate::geometry::{Point3, Vector3};
use crate::locate::{Fit, Touch, locate};

impl Runner {
    pub(super) fn begin_probing(
        &mut self,
        step: &Step,
        routine: &Routine,
        memory: &Memory,
        cell: &Cell,
        name: &str,
    ) -> Result<(), Stop> {
        if let Some(open) = &self.probing {
            let why = format!("probing with plan {} has not been finished", open.plan);
            return self.cannot(step, why);
        }
        let Some(plan) = routine.plan(name) else {
            return self.cannot(step, format!("there is no probe plan {name}"));
        };
        if self.log.kind == RunKind::Plain {
            let unmoved = memory
                .references
                .get(name)
                .is_some_and(|r| same_place(r.part, cell.work_from_part()));
            self.write().kind = match (plan.reference, unmoved) {
                (true, _) => RunKind::Reference,
                (false, true) => RunKind::Proof,
                (false, false) => RunKind::Production,
            };
        }
        self.probing = Some(OpenProbing { plan: name.into(), touches: Vec::new() });
        Ok(())
    }

    pub(super) fn probe(
        &mut self,
        step: &Step,
        routine: &Routine,
        cell: &mut Cell,
        direction: &Vector3<f64>,
        face: &str,
    ) -> Result<(), Stop> {
        let plan = self.probing.as_ref().and_then(|b| routine.plan(&b.plan));
        let reach = plan.map_or(DEFAULT_REACH_MM, |p| p.reach_mm);
        let speed = self.probing_speed(plan);
        let Some(taught) = direction.try_normalize(1e-9) else {
            return self.cannot(step, "the search has no direction".into());
        };
        let along = self.active_offset().map_or(taught, |pose| pose.vector(&taught));
        // The search starts where the torch came to rest, whether or not that is its own point.
        self.rest_here();
        let start = self.torch;
        let number = self.log.searches.len();
        let outcome = match cell.search(&start, &along, reach) {
            SearchResult::Touch(touch) => {
                let furthest = start + along * touch.travel;
                let mut path = vec![start, furthest];
                // Where the wire had to press, the arm eases until the wire is straight again.
                path.extend(touch.pressed.map(|depth| furthest - along * depth));
                self.leg(step, path, speed, LegKind::Search);
                let mut noise =
                    Noise::new(self.options.seed, self.options.number as u64, number as u64);
                let reading = cell.reading(&touch.torch, &along, speed, &mut noise);
                if let Some(block) = &mut self.probing {
                    let stored = ReferenceTouch { step: step.id, reading, search: taught };
                    block.touches.push(OpenTouch { stored, face: face.into() });
                }
                SearchOutcome::Touch {
                    contact: touch.contact,
                    reading,
                    body: touch.body,
                    normal: touch.normal,
                }
            }
            SearchResult::Nothing => {
                self.leg(step, vec![start, start + along * reach], speed, LegKind::Search);
                SearchOutcome::Nothing
            }
            SearchResult::AlreadyTouching { body } => SearchOutcome::AlreadyTouching { body },
            SearchResult::Crash(hit) => {
                self.leg(step, vec![start, start + along * hit.along], speed, LegKind::Search);
                return self.crashed(step, cell, hit);
            }
        };
        let failed = !matches!(outcome, SearchOutcome::Touch { .. });
        let search = Search {
            step: step.id,
            plan: self.probing.as_ref().map(|b| b.plan.clone()),
            face: face.into(),
            start,
            direction: along,
            time: self.log.duration,
            outcome,
        };
        self.write().searches.push(search);
        if failed {
            self.event(step.id, EventKind::SearchFailed { search: number });
            return Err(Stop);
        }
        self.event(step.id, EventKind::Touched { search: number });
        Ok(())
    }

    pub(super) fn finish_probing(
        &mut self,
        step: &Step,
        routine: &Routine,
        cell: &mut Cell,
        memory: &mut Memory,
    ) -> Result<(), Stop> {
        let Some(block) = self.probing.take() else {
            return self.cannot(step, "no probing has begun".into());
        };
        let Some(plan) = routine.plan(&block.plan) else {
            return self.cannot(step, format!("there is no probe plan {}", block.plan));
        };
        if plan.reference {
            self.store(step, cell, memory, plan, block);
            return Ok(());
        }
        let solved = solve(plan, &block, memory, cell.settings());
        if let Some(slip) = self.options.slip {
            cell.place_part(slip * cell.work_from_part());
        }
        match solved {
            Ok(located) => {
                memory.offsets.insert(plan.fills.clone(), located.motion);
                self.solution(step, plan, SolutionOutcome::Found { located: Box::new(located) });
                self.event(step.id, EventKind::OffsetFound { offset: plan.fills.clone() });
                Ok(())
            }
            Err((code, message)) => {
                let outcome = SolutionOutcome::Refused { code, message: message.clone() };
                self.solution(step, plan, outcome);
                let what = EventKind::OffsetRefused { plan: plan.name.clone(), message };
                self.event(step.id, what);
                Err(Stop)
            }
        }
    }

    /// A reference run: the touches are stored and the offset becomes no motion, wherever the part is.
    fn store(
        &mut self,
        step: &Step,
        cell: &Cell,
        memory: &mut Memory,
        plan: &ProbePlan,
        block: OpenProbing,
    ) {
        let reference = Reference {
            run: self.options.number,
            part: cell.work_from_part(),
            speed_mm_s: self.probing_speed(Some(plan)),
            touches: block.touches.into_iter().map(|t| t.stored).collect(),
        };
        let overwrote = memory.references.insert(plan.name.clone(), reference).is_some();
        memory.offsets.insert(plan.fills.clone(), crate::geometry::Pose::identity());
        self.solution(step, plan, SolutionOutcome::ReferenceStored);
        self.event(step.id, EventKind::ReferenceStored { plan: plan.name.clone(), overwrote });
    }

    fn solution(&mut self, step: &Step, plan: &ProbePlan, outcome: SolutionOutcome) {
        let time = self.log.duration;
        self.write().solutions.push(Solution {
            step: step.id,
            plan: plan.name.clone(),
            offset: plan.fills.clone(),
            freedoms: plan.freedoms,
            time,
            outcome,
        });
    }

    fn probing_speed(&self, plan: Option<&ProbePlan>) -> f64 {
        let planned = plan.map_or(DEFAULT_PROBING_SPEED_MM_S, |p| p.speed_mm_s);
        match self.options.probing_speed {
            Some(changed) if !plan.is_some_and(|p| p.reference) => changed,
            _ => planned,
        }
    }
}

/// Solves a block against its stored reference; the reason, for the learner, if it cannot.
fn solve(
    plan: &ProbePlan,
    block: &OpenProbing,
    memory: &Memory,
    settings: &CellSettings,
) -> Result<Fit, (String, String)> {
    let Some(reference) = memory.references.get(&plan.name) else {
        let why = format!("plan {} has no reference to compare with", plan.name);
        return Err(("no_reference".into(), why));
    };
    let mut faces: Vec<&str> = Vec::new();
    let mut touches = Vec::new();
    for t in &block.touches {
        let Some(stored) = reference.touches.iter().find(|r| r.step == t.stored.step) else {
            let why = format!("the touch on {} was not made in the reference run", t.face);
            return Err(("no_reference_touch".into(), why));
        };
        let face = faces.iter().position(|f| *f == t.face).unwrap_or_else(|| {
            faces.push(&t.face);
            faces.len() - 1
        });
        touches.push(Touch {
            face,
            search: stored.search,
            reference: tip_centre(&stored.reading, settings),
            current: Some(tip_centre(&t.stored.reading, settings)),
        });
    }
    let sigma = reading_sigma(settings, plan.speed_mm_s) * std::f64::consts::SQRT_2;
    locate(plan.freedoms, &touches, sigma).map_err(|refusal| {
        let face_name = |i: usize| faces.get(i).map_or_else(String::new, |f| (*f).to_owned());
        let touch_name = |i: usize| format!("touch {}", i + 1);
        (refusal.code().to_owned(), refusal.message(&face_name, &touch_name))
    })
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
