//! Executes the steps of a routine one after the other.

use super::log::{EventKind, LegKind, RunEnd};
use super::memory::Memory;
use super::route::{rounding_of, until_corner};
use super::runner::{Halt, Runner, Sensing};
use super::steps::{Instruction, PathKind, Routine, Step};
use crate::cell::{Cell, Wire};
use crate::geometry::{Point3, Vector3};
use crate::text::say;

impl Runner {
    /// Does up to `steps` further steps, or all that remain.
    pub fn advance(
        &mut self,
        routine: &Routine,
        cell: &mut Cell,
        memory: &mut Memory,
        steps: Option<usize>,
    ) {
        // In a pause the wire may have been cut.
        if self.told && self.log.wire.last().is_none_or(|(_, wire)| *wire != cell.wire) {
            self.set_wire(cell, self.log.duration, cell.wire);
        }
        let mut left = steps.unwrap_or(usize::MAX);
        while self.log.end.is_none() && left > 0 {
            let Some(step) = routine.steps.get(self.next) else {
                self.write().end = Some(RunEnd::Finished);
                break;
            };
            self.next += 1;
            left -= 1;
            if self.step(step, routine, cell, memory).is_err() {
                if self.weld.is_some() {
                    self.weld_ends(step, cell);
                }
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
    ) -> Result<(), Halt> {
        if self.weld.is_some()
            && !matches!(
                step.instruction,
                Instruction::WeldThrough { .. } | Instruction::WeldEnd { .. }
            )
        {
            return self.cannot(step, say::not_weld_through());
        }
        match &step.instruction {
            Instruction::Move { to, way, .. } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                let round = rounding_of(routine, self.next - 1);
                self.travel(step, cell, *way, to, round)?;
                if step.instruction.is_home() && self.following.is_some() {
                    let by_mm = (to - taught).norm();
                    self.event(step.id, EventKind::HomeCarried { by_mm });
                }
                Ok(())
            }
            Instruction::SensingOn { speed_mm_s, reach_mm } => {
                self.name_run(routine, memory);
                self.voltage = true;
                self.sensing = Sensing { speed_mm_s: *speed_mm_s, reach_mm: *reach_mm };
                self.event(step.id, EventKind::SensingOn);
                Ok(())
            }
            Instruction::Feel { from, way, direction, face } => {
                let to = self.target(step, routine, from)?;
                self.name_run(routine, memory);
                self.travel(step, cell, *way, to, 0.0)?;
                self.feel(step, cell, memory.reference_flag, direction, face)
            }
            Instruction::SensingOff => {
                self.sensing_off(step.id);
                Ok(())
            }
            Instruction::Find { place, may } => self.find(step, cell, memory, place, *may),
            Instruction::Follow { place } => {
                let Some(pose) = memory.offsets.get(place) else {
                    return self.cannot(step, say::not_found_yet(place));
                };
                self.following = Some((place.clone(), *pose));
                self.event(step.id, EventKind::FollowBegins { place: place.clone() });
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
                let axis = self.weld_axis(routine, cell, taught);
                self.travel_welding(step, cell, to, axis)?;
                self.weld_starts(step, cell, taught)
            }
            Instruction::WeldThrough { to } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                self.weld_to(step, cell, taught, to)
            }
            Instruction::WeldEnd { to } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                self.weld_to(step, cell, taught, to)?;
                self.weld_ends(step, cell);
                Ok(())
            }
            Instruction::TrimWire => {
                self.travel(step, cell, PathKind::Joint, cell.part().cutter(), 0.0)?;
                let trimmed = Wire::straight(cell.settings().stick_out_mm);
                self.set_wire(cell, self.log.duration, trimmed);
                self.event(step.id, EventKind::WireTrimmed);
                Ok(())
            }
        }
    }

    /// A travel move; with `round`, mm, the torch leaves the path that far before its end.
    fn travel(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        path: PathKind,
        to: Point3<f64>,
        round: f64,
    ) -> Result<(), Halt> {
        let leg = (LegKind::Travel, Vector3::z());
        if round == 0.0 && self.skips_to(cell, path, to, leg) {
            return Ok(());
        }
        let way = until_corner(self.way(cell, path, to), round);
        let speed = self.capped(cell.settings().travel_mm_s);
        self.drive(step, cell, way, speed, leg)?;
        self.corner = (round > 0.0).then_some((to, round));
        Ok(())
    }

    fn travel_welding(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        to: Point3<f64>,
        axis: Vector3<f64>,
    ) -> Result<(), Halt> {
        // Here the wire is meant to meet the part.
        let leg = (LegKind::ToWeld, axis);
        if self.skips_to(cell, PathKind::Linear, to, leg) {
            return Ok(());
        }
        let way = self.way(cell, PathKind::Linear, to);
        let speed = self.capped(cell.settings().travel_mm_s);
        self.drive(step, cell, way, speed, leg)
    }
}
