//! The layout of touches with the least spread at the worst weld end.

use super::candidates::{Candidate, candidates};
use crate::cell::{CellSettings, END_MM, ModelTouch, Noise, Part, STANDOFF_MM};
use crate::geometry::{Point3, Pose, Vector3};
use crate::locate::{Freedoms, STATED_SIGMAS};
use nalgebra::{SMatrix, SVector, Vector6};

/// Least way between two touches on one face, mm: closer together they would tell of the same spot.
pub const LEAST_APART_MM: f64 = 20.0;
/// Rotations are reckoned in so many mm, so that they compare with slides.
const LEVER_MM: f64 = 100.0;
/// Keeps layouts comparable that do not fix the part.
const LOOSE: f64 = 1e-9;
/// The exchange starts from so many layouts, one of them the part's own.
const STARTS: usize = 24;

/// The touches that could find one place of a part, and how far each choice of them leaves its welds off.
#[derive(Debug, Clone)]
pub struct PlaceLayouts {
    candidates: Vec<Candidate>,
    equations: Equations,
    may: Freedoms,
    /// How many of the first candidates are the part's own layout.
    own: usize,
}

impl PlaceLayouts {
    /// For the part's own place, or for one that a seam names, with the part as drawn. `None` where no seam
    /// is welded by that place alone.
    pub fn new(part: &Part, settings: &CellSettings, place: Option<&str>) -> Option<Self> {
        let may = place.map_or_else(|| part.play.freedoms(), |place| part.may_of(place));
        let from_above = may.intersects(Freedoms::HEIGHT | Freedoms::TILTS);
        let candidates = candidates(part, settings, place, from_above);
        let of_layout = |c: &&Candidate| part.model_touches.contains(&c.touch);
        let own = candidates.iter().take_while(of_layout).count();
        let contacts = candidates.iter().map(|c| c.contact.coords);
        let centre = if may.rotates() && may.any_pivot() {
            Point3::from(contacts.sum::<Vector3<f64>>() / candidates.len().max(1) as f64)
        } else {
            Point3::origin()
        };
        // By the freedoms there are: what is left of the six stays zero.
        let row = |direction: &Vector3<f64>, at: &Point3<f64>| {
            let turn = (at - centre).cross(direction) / LEVER_MM;
            let all = [direction.x, direction.y, direction.z, turn.x, turn.y, turn.z];
            let free = (0..6).filter(|axis| may.bits() & (1 << axis) != 0).map(|axis| all[axis]);
            Vector6::from_iterator(free.chain(std::iter::repeat(0.0)).take(6))
        };
        let rows: Vec<(Vector6<f64>, f64)> =
            candidates.iter().map(|c| (row(&c.normal, &c.contact), c.sigma_mm)).collect();
        let seams = part.seams.iter().filter(|seam| seam.place.as_deref() == place);
        let ends: Vec<Vector6<f64>> = seams
            .flat_map(|seam| -> Vec<Vector6<f64>> {
                let line = seam.at(&Pose::identity());
                let allowed = [
                    (line.across_wire, seam.tolerance_mm),
                    (line.torch_axis, STANDOFF_MM),
                    (line.along, END_MM),
                ];
                let at = move |at| allowed.map(|(way, mm)| row(&way, &at) / mm);
                [line.from, line.to].into_iter().flat_map(at).collect()
            })
            .collect();
        if ends.is_empty() {
            return None;
        }
        let equations = match may.bits().count_ones() {
            ..=3 => Equations::Level(System::new(&rows, &ends)),
            _ => Equations::Whole(System::new(&rows, &ends)),
        };
        Some(Self { candidates, equations, may, own })
    }

    /// How many touches could be made.
    pub fn count(&self) -> usize {
        self.candidates.len()
    }

    /// The faces they are on, each once.
    pub fn faces(&self) -> Vec<&str> {
        let mut faces: Vec<&str> = Vec::new();
        for c in &self.candidates {
            if !faces.contains(&c.touch.face.as_str()) {
                faces.push(&c.touch.face);
            }
        }
        faces
    }

    /// The fewest touches that can find the place.
    pub fn least(&self) -> usize {
        self.may.needed_touches()
    }

    /// The candidate of this number, from 0.
    pub fn touch(&self, n: usize) -> &ModelTouch {
        &self.candidates[n].touch
    }

    /// The greatest forecast of a weld end with these candidates, as a share of what is allowed; vast where they
    /// do not fix the part.
    pub fn worst(&self, chosen: &[usize]) -> f64 {
        self.below(chosen, f64::MAX).unwrap_or(f64::MAX)
    }

    /// The same, if it is less than `least`.
    fn below(&self, chosen: &[usize], least: f64) -> Option<f64> {
        match &self.equations {
            Equations::Level(system) => system.below(chosen, least),
            Equations::Whole(system) => system.below(chosen, least),
        }
    }

    /// Whether two touches of a layout are at different spots.
    pub fn is_apart(&self, a: usize, b: usize) -> bool {
        let [a, b] = [a, b].map(|n| &self.candidates[n]);
        let one_face = a.body == b.body && a.normal.dot(&b.normal) > 0.99;
        !one_face || (a.contact - b.contact).norm() >= LEAST_APART_MM
    }

    /// The best layout of so many touches on the faces that are allowed: from several layouts, touch by
    /// touch exchanged for any other, as long as one exchange makes it better (after V. V. Fedorov, Theory of
    /// Optimal Experiments, 1972, from memory). `None` where these faces do not give that many touches.
    pub fn best(&self, touches: usize, allowed: impl Fn(&str) -> bool) -> Option<Vec<usize>> {
        let free: Vec<usize> =
            (0..self.count()).filter(|n| allowed(&self.candidates[*n].touch.face)).collect();
        let mut noise = Noise::new(0, 0, 0);
        let mut best: Option<(f64, Vec<usize>)> = None;
        for start in 0..STARTS {
            let own = (0..self.own).filter(|n| start == 0 && free.contains(n));
            let Some(layout) = self.filled(own.take(touches).collect(), touches, &free, &mut noise)
            else {
                continue;
            };
            let found = self.exchanged(layout, &free);
            if best.as_ref().is_none_or(|(least, _)| found.0 < *least) {
                best = Some(found);
            }
        }
        let (_, layout) = best?;
        let mut layout = self.exchanged_in_pairs(layout, &free);
        layout.sort_unstable();
        Some(layout)
    }

    /// A layout with touches drawn by chance added to it.
    fn filled(
        &self,
        mut layout: Vec<usize>,
        touches: usize,
        free: &[usize],
        noise: &mut Noise,
    ) -> Option<Vec<usize>> {
        while layout.len() < touches {
            let fits = |n: &usize| layout.iter().all(|m| self.is_apart(*n, *m));
            let left: Vec<usize> = free.iter().copied().filter(fits).collect();
            if left.is_empty() {
                return None;
            }
            layout.push(left[noise.index(left.len())]);
        }
        Some(layout)
    }

    /// The layout after every exchange of one touch that makes it better, with its forecast.
    fn exchanged(&self, mut layout: Vec<usize>, free: &[usize]) -> (f64, Vec<usize>) {
        let mut least = self.worst(&layout);
        loop {
            let before = least;
            for i in 0..layout.len() {
                least = self.exchange(&mut layout, i, free, least);
            }
            if least >= before {
                return (least, layout);
            }
        }
    }

    /// Puts the candidate in the place of touch `i` that makes the layout best.
    fn exchange(&self, layout: &mut [usize], i: usize, free: &[usize], mut least: f64) -> f64 {
        for &n in free {
            let old = layout[i];
            if n == old || (0..layout.len()).any(|k| k != i && !self.is_apart(n, layout[k])) {
                continue;
            }
            layout[i] = n;
            match self.below(layout, least) {
                Some(now) => least = now,
                None => layout[i] = old,
            }
        }
        least
    }

    /// The layout after every exchange of two touches at once that makes it better.
    fn exchanged_in_pairs(&self, mut layout: Vec<usize>, free: &[usize]) -> Vec<usize> {
        let mut least = self.worst(&layout);
        let count = layout.len();
        loop {
            let before = least;
            for (i, j) in (0..count).flat_map(|i| (i + 1..count).map(move |j| (i, j))) {
                for &n in free {
                    let mut other = layout.clone();
                    let fits = |k: usize| k == i || k == j || self.is_apart(n, other[k]);
                    if !(0..count).all(fits) {
                        continue;
                    }
                    other[i] = n;
                    let now = self.exchange(&mut other, j, free, least);
                    if now < least {
                        (least, layout) = (now, other);
                    }
                }
            }
            if least >= before {
                return layout;
            }
        }
    }
}

/// What touches tell of a part and what it does to the weld ends, by the size of their equations: a part that
/// stays level has three freedoms at most.
#[derive(Debug, Clone)]
enum Equations {
    Level(System<3>),
    Whole(System<6>),
}

#[derive(Debug, Clone)]
struct System<const D: usize> {
    /// For each candidate: its row of the equations, and its standard deviation, mm.
    rows: Vec<(SVector<f64, D>, f64)>,
    /// For each weld end: its displacement by a small motion across the wire, along it and along the seam,
    /// each over what is allowed there.
    ends: Vec<SVector<f64, D>>,
}

impl<const D: usize> System<D> {
    fn new(rows: &[(Vector6<f64>, f64)], ends: &[Vector6<f64>]) -> Self {
        let first = |v: &Vector6<f64>| SVector::<f64, D>::from_fn(|i, _| v[i]);
        let rows = rows.iter().map(|(row, sigma)| (first(row), *sigma)).collect();
        Self { rows, ends: ends.iter().map(first).collect() }
    }

    /// The greatest forecast of a weld end, as a share of what is allowed, if it is less than `least`. With
    /// `A = Σ jᵢ jᵢᵀ` and `v = A⁻¹ e` a weld end e is off by `Σ (jᵢ·v)² σᵢ²`.
    fn below(&self, chosen: &[usize], least: f64) -> Option<f64> {
        let mut a = SMatrix::<f64, D, D>::from_diagonal_element(LOOSE);
        for &n in chosen {
            let j = &self.rows[n].0;
            a += j * j.transpose();
        }
        let a = a.cholesky()?;
        let mut worst: f64 = 0.0;
        for end in &self.ends {
            let v = a.solve(end);
            let one = |n: &usize| {
                let (j, sigma) = &self.rows[*n];
                let off = j.dot(&v) * sigma;
                off * off
            };
            // What no touch holds is off without bound.
            let loose = v.norm_squared() * LOOSE;
            worst = worst.max(chosen.iter().map(one).sum::<f64>() + loose);
            if STATED_SIGMAS * worst.sqrt() >= least {
                return None;
            }
        }
        Some(STATED_SIGMAS * worst.sqrt())
    }
}

/// The part with other touches in its layout for one place.
#[must_use]
pub fn with_layout(part: &Part, place: Option<&str>, touches: Vec<ModelTouch>) -> Part {
    let mut part = part.clone();
    part.model_touches.retain(|t| t.place.as_deref() != place);
    part.model_touches.extend(touches);
    part
}
