//! How far the welds vary from run to run, worked out from the touches before anything runs.

use super::{Facts, TouchFacts};
use crate::cell::{ELASTIC_SPEED_MM_S, SeamLine};
use crate::forecast::difference_sigma;
use crate::geometry::{Point3, Pose, Vector3};
use crate::locate::{
    FaceNames, Freedoms, STATED_SIGMAS, SmallMotion, Touch, displaced, forecast, locate,
};
use crate::routine::{FindBlock, meant_for};

/// A touch that a find compares.
#[derive(Debug, Clone)]
pub(in crate::coach) struct FoundTouch<'f> {
    pub(in crate::coach) touch: &'f TouchFacts,
    /// Its contact with the part where it was taught, work frame, mm.
    pub(in crate::coach) contact: Point3<f64>,
    /// Standard deviation of the difference of its two readings along the search, mm.
    pub(in crate::coach) sigma: f64,
}

/// One end of a straight stretch of weld, and the find that decides where it lands.
#[derive(Debug, Clone)]
pub(in crate::coach) struct WeldEnd {
    /// Index of the weld step.
    pub(in crate::coach) step: usize,
    /// Name of its point.
    pub(in crate::coach) point: String,
    /// Where this point was taught, work frame, mm.
    pub(in crate::coach) at: Point3<f64>,
    /// Index in the part of the seam it is meant for.
    pub(in crate::coach) seam: usize,
    /// The end of the seam that it is meant for: 0 `from`, 1 `to`. `None` for a point on the way.
    pub(in crate::coach) end: Option<usize>,
    /// That seam where the part was taught.
    pub(in crate::coach) line: SeamLine,
    pub(in crate::coach) tolerance_mm: f64,
    /// Index in the structure of the find whose place it follows, if that is found before.
    pub(in crate::coach) find: Option<usize>,
}

impl Facts<'_> {
    /// The touches of a find, each as the wire meets the part where it was taught.
    pub(in crate::coach) fn found_touches(&self, find: &FindBlock) -> Vec<FoundTouch<'_>> {
        let of = |touch| {
            let t: &TouchFacts = touch;
            let m = t.meets()?;
            // Faster than the wire stands is a mistake of its own.
            let speed_mm_s = self.structure.search_of(t.step).0.min(ELASTIC_SPEED_MM_S);
            let sigma = difference_sigma(&self.state.settings, m.scatter, speed_mm_s);
            Some(FoundTouch { touch: t, contact: t.start + t.direction * m.travel, sigma })
        };
        self.touches_of(find).into_iter().filter_map(of).collect()
    }

    /// Every end of a stretch of weld.
    pub(in crate::coach) fn weld_ends(&self) -> Vec<WeldEnd> {
        let seams = &self.state.part.seams;
        let mut ends = Vec::new();
        for weld in &self.structure.welds {
            let (Some(start), Some(end)) = (weld.start, weld.end) else { continue };
            let stops: Vec<usize> =
                (start..=end).filter(|&i| self.routine.steps[i].instruction.is_weld()).collect();
            for stretch in stops.windows(2) {
                let [Some(a), Some(b)] = [stretch[0], stretch[1]].map(|i| self.at(i)) else {
                    continue;
                };
                let back = self.taught.inverse();
                let meant = meant_for(seams, [a, b].map(|p| back.point(&p)));
                let Some((seam, forward)) =
                    meant.and_then(|(seam, on)| Some((seams.iter().position(|s| s == seam)?, on)))
                else {
                    continue;
                };
                let begins = (stretch[0] == start).then_some(usize::from(!forward));
                let ends_here = (stretch[1] == end).then_some(usize::from(forward));
                for ((step, at), end) in
                    stretch.iter().copied().zip([a, b]).zip([begins, ends_here])
                {
                    let Some(point) = self.routine.steps[step].instruction.point() else {
                        continue;
                    };
                    let (point, find) = (point.to_owned(), self.decides(step));
                    let line = seams[seam].at(&self.taught);
                    let tolerance_mm = seams[seam].tolerance_mm;
                    ends.push(WeldEnd { step, point, at, seam, end, line, tolerance_mm, find });
                }
            }
        }
        ends
    }

    /// Index of the find that decides where step `i` goes: the last one of the place that it follows,
    /// before it begins to follow.
    fn decides(&self, i: usize) -> Option<usize> {
        let follow = self.structure.follow_at(i)?;
        let of = |find: &FindBlock| find.step < follow.begin && find.place == follow.place;
        self.structure.finds.iter().rposition(of)
    }
}

/// The touches as the solver takes them.
fn taught<'f>(touches: &[FoundTouch<'f>]) -> Vec<Touch> {
    let mut faces = FaceNames::default();
    let mut one = |t: &FoundTouch<'f>| {
        Touch::taught(faces.label(&t.touch.face), t.touch.direction, t.contact)
    };
    touches.iter().map(&mut one).collect()
}

/// The controller takes all touches of a find for equally good: as the worst of them, mm.
fn worst_sigma(touches: &[FoundTouch]) -> Option<f64> {
    touches.iter().map(|t| t.sigma).reduce(f64::max)
}

/// What a find makes of touches whose contacts have moved: each by so much along its search, mm. `None`
/// where the touches do not fix the freedoms.
pub(in crate::coach) fn found_motion(
    may: Freedoms,
    touches: &[FoundTouch],
    moved: impl Fn(usize) -> f64,
) -> Option<Pose> {
    let moved = |(i, t): (usize, Touch)| t.found(t.reference + t.search * moved(i));
    let all: Vec<Touch> = taught(touches).into_iter().enumerate().map(moved).collect();
    locate(may, &all, worst_sigma(touches)?).ok().map(|fit| fit.motion)
}

/// How a find passes the scatter of its touches on.
#[derive(Debug, Clone)]
pub(in crate::coach) struct Spread {
    /// What one standard deviation of each touch does to the found motion.
    touches: Vec<SmallMotion>,
}

impl Spread {
    /// `None` where the touches do not fix the freedoms.
    pub(in crate::coach) fn of(may: Freedoms, touches: &[FoundTouch]) -> Option<Self> {
        let effects = forecast(may, &taught(touches), worst_sigma(touches)?).ok()?.effects;
        let touches = effects.iter().zip(touches).map(|(e, t)| e.gain * t.sigma).collect();
        Some(Self { touches })
    }

    /// What each touch adds to the standard deviation of a taught point in a direction of unit length,
    /// mm. The readings are independent: their squares add up (JCGM 100:2008, 5.1.2).
    fn shares<'s>(
        &'s self,
        at: &'s Point3<f64>,
        towards: &'s Vector3<f64>,
    ) -> impl Iterator<Item = f64> + 's {
        self.touches.iter().map(move |off| displaced(off, at).dot(towards))
    }

    /// The forecast of a weld end across its wire, ± mm: three standard deviations.
    pub(in crate::coach) fn forecast(&self, end: &WeldEnd) -> f64 {
        let squares = self.shares(&end.at, &end.line.across_wire).map(|mm| mm * mm);
        STATED_SIGMAS * squares.sum::<f64>().sqrt()
    }

    /// Index of the touch that adds most to the forecast of a weld end.
    pub(in crate::coach) fn worst_touch(&self, end: &WeldEnd) -> Option<usize> {
        let shares = self.shares(&end.at, &end.line.across_wire).map(f64::abs).enumerate();
        shares.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
    }
}
