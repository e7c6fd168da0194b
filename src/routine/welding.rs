use super::log::{EventKind, LegKind, WeldTrace};
use super::runner::{OpenWeld, Runner, Stop};
use super::steps::{PathKind, Step};
use crate::cell::{Cell, Seam};
use crate::geometry::Point3;

impl Runner {
    pub(super) fn weld_starts(&mut self, step: &Step, cell: &mut Cell, taught: Point3<f64>) {
        // In a trial nothing burns: a bent wire stays bent.
        if self.options.arc {
            cell.burn_wire_off();
        }
        self.weld = Some(OpenWeld { taught, wire: cell.wire_tip(&self.torch) });
        if self.options.arc {
            self.event(step.id, EventKind::ArcOn);
        }
    }

    pub(super) fn weld_ends(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        taught: Point3<f64>,
        to: Point3<f64>,
    ) -> Result<(), Stop> {
        let way = self.way(cell, PathKind::Linear, to);
        let speed = self.capped(cell.settings().weld_mm_s);
        self.drive(step, cell, way, speed, LegKind::Weld)?;
        let Some(open) = self.weld.take() else {
            return self.cannot(step, "no weld has been started".into());
        };
        if self.options.arc {
            self.event(step.id, EventKind::ArcOff);
        }
        let end = cell.wire_tip(&self.torch);
        if let Some(trace) = trace(step, cell, [open.taught, taught], [open.wire, end]) {
            self.write().welds.push(trace);
        }
        Ok(())
    }
}

/// Where the weld landed against the seam it was taught for.
fn trace(
    step: &Step,
    cell: &Cell,
    taught: [Point3<f64>; 2],
    wire: [Point3<f64>; 2],
) -> Option<WeldTrace> {
    let (seam, forward) = meant_for(cell.seams(), taught)?;
    let miss = cell.seam_in_work(seam).weld_miss(wire, forward);
    let worst = if miss[1].across_mm.abs() > miss[0].across_mm.abs() { miss[1] } else { miss[0] };
    let tolerance = seam.tolerance_mm;
    let landed =
        miss.iter().all(|m| m.across_mm.abs() <= tolerance && m.height_mm.abs() <= tolerance);
    Some(WeldTrace {
        step: step.id,
        seam: seam.name.clone(),
        wire,
        miss,
        worst_mm: worst.across_mm,
        tolerance_mm: tolerance,
        landed,
    })
}

/// The seam nearest to the taught weld, and whether the weld runs its way.
fn meant_for(seams: &[Seam], taught: [Point3<f64>; 2]) -> Option<(&Seam, bool)> {
    let distance = |a: Point3<f64>, b: Point3<f64>| (taught[0] - a).norm() + (taught[1] - b).norm();
    seams
        .iter()
        .flat_map(|s| [(s, true, distance(s.from, s.to)), (s, false, distance(s.to, s.from))])
        .min_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(seam, forward, _)| (seam, forward))
}
