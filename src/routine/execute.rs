//! Executes the steps of a routine one after the other.

use super::log::{EventKind, LegKind, RunEnd};
use super::memory::Memory;
use super::runner::{Runner, Stop};
use super::steps::{Corner, Instruction, PathKind, Routine, Step};
use crate::cell::Cell;
use crate::geometry::{Point3, polyline};

impl Runner {
    /// Does up to `steps` further steps, or all that remain.
    pub fn advance(
        &mut self,
        routine: &Routine,
        cell: &mut Cell,
        memory: &mut Memory,
        steps: Option<usize>,
    ) {
        let mut left = steps.unwrap_or(usize::MAX);
        while self.log.end.is_none() && left > 0 {
            let Some(step) = routine.steps.get(self.next) else {
                self.write().end = Some(RunEnd::Finished);
                break;
            };
            self.next += 1;
            left -= 1;
            if self.step(step, routine, cell, memory).is_err() {
                self.write().end = Some(RunEnd::Stopped { step: step.id });
            }
        }
        if self.log.end.is_none() && self.next >= routine.steps.len() {
            self.write().end = Some(RunEnd::Finished);
        }
        if self.log.part_at_end != cell.work_from_part() {
            self.write().part_at_end = cell.work_from_part();
        }
    }

    fn step(
        &mut self,
        step: &Step,
        routine: &Routine,
        cell: &mut Cell,
        memory: &mut Memory,
    ) -> Result<(), Stop> {
        match &step.instruction {
            Instruction::Move { to, path, corner } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                let blend = match corner {
                    Corner::Blend(mm) if self.moves_on(routine) => *mm,
                    _ => 0.0,
                };
                self.travel(step, cell, *path, to, blend)?;
                if step.instruction.is_home() && self.following.is_some() {
                    let by_mm = (to - taught).norm();
                    self.event(step.id, EventKind::HomeCarried { by_mm });
                }
                Ok(())
            }
            Instruction::BeginProbing { plan } => {
                self.begin_probing(step, routine, memory, cell, plan)
            }
            Instruction::Probe { from, direction, face } => {
                self.target(step, routine, from)?;
                self.probe(step, routine, cell, direction, face)
            }
            Instruction::FinishProbing => self.finish_probing(step, routine, cell, memory),
            Instruction::Follow { offset } => {
                let Some(pose) = memory.offsets.get(offset) else {
                    let why = format!("offset {offset} has not been found yet");
                    return self.cannot(step, why);
                };
                self.following = Some((offset.clone(), *pose));
                self.event(step.id, EventKind::FollowBegins { offset: offset.clone() });
                Ok(())
            }
            Instruction::StopFollowing => {
                if self.following.take().is_some() {
                    self.event(step.id, EventKind::FollowEnds);
                }
                Ok(())
            }
            Instruction::WeldStart { to } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                self.travel_welding(step, cell, to)?;
                self.weld_starts(step, cell, taught);
                Ok(())
            }
            Instruction::WeldEnd { to } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                self.weld_ends(step, cell, taught, to)
            }
        }
    }

    /// Whether any later step moves the torch; a blend needs a next point.
    fn moves_on(&self, routine: &Routine) -> bool {
        routine.steps[self.next..].iter().any(|s| s.instruction.point().is_some())
    }

    /// A travel move; with `blend` the torch leaves the path that far before its end.
    fn travel(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        path: PathKind,
        to: Point3<f64>,
        blend: f64,
    ) -> Result<(), Stop> {
        let mut way = self.way(cell, path, to);
        let keep = (polyline::length(&way) - blend).max(polyline::length(&way) / 2.0);
        if blend > 0.0 {
            way = polyline::head(&way, keep);
        }
        let speed = self.capped(cell.settings().travel_mm_s);
        self.drive(step, cell, way, speed, LegKind::Travel)?;
        self.corner = (blend > 0.0).then_some((to, blend));
        Ok(())
    }

    fn travel_welding(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        to: Point3<f64>,
    ) -> Result<(), Stop> {
        let way = self.way(cell, PathKind::Linear, to);
        let speed = self.capped(cell.settings().travel_mm_s);
        // Here the wire is meant to meet the part.
        self.drive(step, cell, way, speed, LegKind::ToWeld)
    }
}
