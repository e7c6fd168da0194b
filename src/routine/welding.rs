use super::log::{EventKind, LegKind, WeldTrace};
use super::runner::{Halt, OpenWeld, Runner};
use super::steps::{Instruction, PathKind, Routine, Step};
use crate::cell::{Cell, Noise, Seam, Wire};
use crate::geometry::{Point3, Vector3};
use crate::text::say;

/// From here on the numbers under which the state of the wire after an arc is drawn: beyond those of
/// any search.
const AFTER_ARC: u64 = 1 << 32;

impl Runner {
    pub(super) fn weld_starts(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        taught: Point3<f64>,
    ) -> Result<(), Halt> {
        if self.options.arc && self.senses() {
            return self.cannot(step, say::carries_voltage());
        }
        // The arc burns off what stood below the contact tip, and fresh, straight wire follows at the
        // set stick-out: at 8 m/min 15 mm are gone in 0.11 s, in less than a millimetre of weld
        // (length over feed speed; the feed is common practice, no source). In a trial nothing burns.
        if self.options.arc {
            let fresh = Wire::straight(cell.settings().stick_out_mm);
            self.set_wire(cell, self.log.duration, fresh);
        }
        let wire = cell.leaning_tip(&self.torch, &self.axis);
        self.weld = Some(OpenWeld { taught, begins: true, wire });
        if self.options.arc {
            self.event(step.id, EventKind::ArcOn);
        }
        Ok(())
    }

    /// How the torch leans in the weld that starts at the taught point: as the seam asks that it was
    /// taught for. Work frame, unit length.
    pub(super) fn weld_axis(
        &self,
        routine: &Routine,
        cell: &Cell,
        taught: Point3<f64>,
    ) -> Vector3<f64> {
        let next = routine.steps[self.next..].iter().find_map(|s| match &s.instruction {
            Instruction::WeldThrough { to } | Instruction::WeldEnd { to } => routine.point(to),
            _ => None,
        });
        let ends = [taught, next.map_or(taught, |p| p.at)];
        let Some((seam, _)) = meant_for(&cell.part().seams, ends) else { return Vector3::z() };
        let axis = seam.torch_axis();
        self.active_offset().map_or(axis, |offset| offset.vector(&axis))
    }

    /// Welds one straight stretch.
    pub(super) fn weld_to(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        taught: Point3<f64>,
        to: Point3<f64>,
    ) -> Result<(), Halt> {
        if self.weld.is_none() {
            return self.cannot(step, say::no_weld_started());
        }
        let leg = (LegKind::Weld, self.axis);
        let driven = if self.skips_to(cell, PathKind::Linear, to, leg) {
            Ok(())
        } else {
            let way = self.way(cell, PathKind::Linear, to);
            let speed = self.capped(cell.settings().weld_mm_s);
            self.drive(step, cell, way, speed, leg)
        };
        let wire = cell.leaning_tip(&self.torch, &self.axis);
        let here = OpenWeld { taught, begins: false, wire };
        // Stopped on the way: what was welded until then is there all the same.
        if let Some(open) = self.weld.replace(here)
            && (driven.is_ok() || open.wire != here.wire)
        {
            let trace = trace(step, cell, [open, here], driven.is_ok());
            self.write().welds.extend(trace);
        }
        driven
    }

    /// The last stretch is done, or the run has stopped: the arc goes out.
    pub(super) fn weld_ends(&mut self, step: &Step, cell: &mut Cell) {
        self.weld = None;
        if self.options.arc {
            let number = AFTER_ARC + self.events as u64;
            let mut noise = Noise::new(self.options.seed, self.options.number as u64, number);
            let wire = Wire::after_arc(cell.settings().stick_out_mm, &mut noise);
            self.set_wire(cell, self.log.duration, wire);
            self.event(step.id, EventKind::ArcOff);
        }
    }
}

/// Where a stretch of weld landed against the seam it was taught for; `whole` if it came to its end.
fn trace(step: &Step, cell: &Cell, ends: [OpenWeld; 2], whole: bool) -> Option<WeldTrace> {
    let wire = ends.map(|end| end.wire);
    let (seam, forward) = meant_for(cell.seams(), ends.map(|end| end.taught))?;
    let mut miss = cell.seam_in_work(seam).weld_miss(wire, forward);
    let goes_on = matches!(step.instruction, Instruction::WeldThrough { .. });
    for (miss, on_the_way) in miss.iter_mut().zip([!ends[0].begins, goes_on && whole]) {
        if on_the_way {
            miss.along_mm = 0.0;
        }
    }
    let worst = if miss[1].across_mm.abs() > miss[0].across_mm.abs() { miss[1] } else { miss[0] };
    let tolerance = seam.tolerance_mm;
    // A weld that was stopped has no end to be judged by.
    let ended = if whole { miss[1].lands(tolerance) } else { miss[1].lands_beside(tolerance) };
    let landed = miss[0].lands(tolerance) && ended;
    Some(WeldTrace {
        step: step.id,
        seam: seam.name.clone(),
        whole,
        wire,
        miss,
        worst_mm: worst.across_mm,
        tolerance_mm: tolerance,
        landed,
    })
}

/// The seam nearest to the taught weld, and whether the weld runs its way.
pub(crate) fn meant_for(seams: &[Seam], taught: [Point3<f64>; 2]) -> Option<(&Seam, bool)> {
    let distance = |a: Point3<f64>, b: Point3<f64>| (taught[0] - a).norm() + (taught[1] - b).norm();
    seams
        .iter()
        .flat_map(|s| [(s, true, distance(s.from, s.to)), (s, false, distance(s.to, s.from))])
        .min_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(seam, forward, _)| (seam, forward))
}

#[cfg(test)]
mod tests {
    use crate::cell::CellSettings;

    /// The bent wire is burnt away before the weld has got anywhere: time = length / feed, way = time
    /// times the speed of the weld.
    #[test]
    fn the_old_wire_is_gone_within_the_first_millimetre_of_weld() {
        let settings = CellSettings::default();
        let gone = |feed_mm_s: f64| settings.stick_out_mm / feed_mm_s;
        // 8 m/min, as said where the weld starts.
        let at_8 = gone(8000.0 / 60.0);
        assert!((at_8 - 0.11).abs() < 0.005, "{at_8} s");
        // 300 in/min for wire of 0.045 in (1.14 mm): an example in Welding Design (magazine), Welding
        // Q&A, 1 November 2009.
        for time in [at_8, gone(300.0 * 25.4 / 60.0)] {
            let weld = time * settings.weld_mm_s;
            assert!(weld < 1.0, "{weld} mm of weld in {time} s");
        }
    }
}
