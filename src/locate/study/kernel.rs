//! One block of production runs: draw motions, compute the contacts, locate, compare the weld points.
//!
//! Names as in [`locate`](crate::locate): R = (c, s) the cosine and sine of the
//! turn, u = Rᵀ t its translation in the part frame; a star marks the true motion. For a
//! touch with contact `c = r + τ d`, `a = n·c`, `b = n × c`.

use super::lanes::{Block, LANES, fma, sin_cos};
use super::plan::{Plan, TouchPlan};
use super::random::Random;
use super::settings::{Engine, LayoutStudySettings};

/// Gauss–Newton ends when no run of the block turns by more than this, radians: the
/// remaining error is its square.
const SETTLED: f64 = 1e-8;

/// For 45° six steps are enough.
const MOST_STEPS: usize = 20;

/// Working memory of one worker.
pub(super) struct Kernel<'a> {
    plan: &'a Plan,
    settings: &'a LayoutStudySettings,
    noise: Vec<[f32; LANES]>,
    /// For each distinct search angle: 1 / (m·d).
    steepness: Vec<Block>,
    truth: Motions,
    found: Motions,
    sums: Sums,
    contacts: Contacts,
}

/// Motions of a block: cosine and sine of the turn, translation in the part frame, mm.
struct Motions {
    c: Block,
    s: Block,
    ux: Block,
    uy: Block,
}

/// Contacts of one touch in a block of runs.
struct Contacts {
    a: Block,
    b: Block,
}

/// Sums over touches: of N a, N b, a², a b, b², and a h, b h.
struct Sums {
    ax: Block,
    ay: Block,
    bx: Block,
    by: Block,
    aa: Block,
    ab: Block,
    bb: Block,
    ah: Block,
    bh: Block,
}

const ZERO: Block = [0.0; LANES];

impl Motions {
    const ZERO: Self = Self { c: ZERO, s: ZERO, ux: ZERO, uy: ZERO };
}

impl Sums {
    const ZERO: Self = Self {
        ax: ZERO,
        ay: ZERO,
        bx: ZERO,
        by: ZERO,
        aa: ZERO,
        ab: ZERO,
        bb: ZERO,
        ah: ZERO,
        bh: ZERO,
    };
}

impl<'a> Kernel<'a> {
    pub(super) fn new(plan: &'a Plan, settings: &'a LayoutStudySettings) -> Self {
        Self {
            plan,
            settings,
            noise: vec![[0.0; LANES]; plan.touches.len().next_multiple_of(2)],
            steepness: vec![ZERO; plan.directions.len()],
            truth: Motions::ZERO,
            found: Motions::ZERO,
            sums: Sums::ZERO,
            contacts: Contacts { a: ZERO, b: ZERO },
        }
    }

    /// Squared greatest deviation of the weld points for a block of runs, mm².
    pub(super) fn block(&mut self, random: &mut Random, out: &mut [f32; LANES]) {
        self.draw(random);
        match self.plan.engine {
            Engine::GaussNewton => self.gauss_newton(),
            Engine::Auto | Engine::ClosedForm => self.closed_form(),
        }
        self.deviations(out);
    }

    /// Draws the true motions and the noise.
    fn draw(&mut self, random: &mut Random) {
        let Motions { c, s, ux, uy } = &mut self.truth;
        let [wide_x, wide_y] = self.settings.shift_mm.map(|half| 2.0 * half);
        random.uniform(wide_x, ux);
        random.uniform(wide_y, uy);
        random.uniform(2.0 * self.settings.turn, s);
        let (ox, oy) = (self.plan.about.x, self.plan.about.y);
        for i in 0..LANES {
            let (sin, cos) = sin_cos(s[i]);
            // In the part frame: Rᵀ (slide + about) − about.
            let (x, y) = (ux[i] + ox, uy[i] + oy);
            (c[i], s[i]) = (cos, sin);
            ux[i] = fma(cos, x, sin * y) - ox;
            uy[i] = fma(cos, y, -sin * x) - oy;
        }
        for pair in self.noise.chunks_exact_mut(2) {
            let [a, b] = pair else { unreachable!("the number of noise rows is even") };
            random.normals(self.settings.sigma_mm, a, b);
        }
        for (inverse, &(nd, kd)) in self.steepness.iter_mut().zip(&self.plan.directions) {
            for i in 0..LANES {
                inverse[i] = 1.0 / fma(c[i], nd, s[i] * kd);
            }
        }
    }

    /// Contacts of one touch: intersection of its search line with the moved face, plus noise along
    /// the search.
    #[inline]
    fn touch(
        truth: &Motions,
        steepness: &[Block],
        touch: &TouchPlan,
        noise: &[f32; LANES],
        contacts: &mut Contacts,
    ) {
        let &TouchPlan { direction, n, h, nr, kr, nd, kd } = touch;
        let inverse = &steepness[direction];
        for i in 0..LANES {
            let (c, s) = (truth.c[i], truth.s[i]);
            let gap = fma(n.x, truth.ux[i], fma(n.y, truth.uy[i], h)) - fma(c, nr, s * kr);
            let travel = fma(gap, inverse[i], f64::from(noise[i]));
            contacts.a[i] = fma(nd, travel, nr);
            contacts.b[i] = fma(kd, travel, kr);
        }
    }

    /// `2θ = atan2(−B, −A)` without computing the angle; the translation then makes the
    /// mean residual of each face zero.
    fn closed_form(&mut self) {
        let Self { plan, noise, steepness, truth, found, sums, contacts, .. } = self;
        // aa: Σ a² − b² about the face's mean; ab: Σ a b likewise.
        sums.aa = ZERO;
        sums.ab = ZERO;
        let [(ax, bx), (ay, by)] = [(&mut sums.ax, &mut sums.bx), (&mut sums.ay, &mut sums.by)];
        for (face, (mean_a, mean_b)) in plan.faces.iter().zip([(ax, bx), (ay, by)]) {
            *mean_a = ZERO;
            *mean_b = ZERO;
            for &k in &face.touches {
                Self::touch(truth, steepness, &plan.touches[k], &noise[k], contacts);
                for i in 0..LANES {
                    let (a, b) = (contacts.a[i], contacts.b[i]);
                    mean_a[i] += a;
                    mean_b[i] += b;
                    sums.aa[i] = fma(a - b, a + b, sums.aa[i]);
                    sums.ab[i] = fma(a, b, sums.ab[i]);
                }
            }
            let number = face.touches.len() as f64;
            for i in 0..LANES {
                let (a, b) = (mean_a[i], mean_b[i]);
                mean_a[i] = a / number;
                mean_b[i] = b / number;
                sums.aa[i] = fma(mean_b[i] - mean_a[i], a + b, sums.aa[i]);
                sums.ab[i] = fma(-mean_a[i], b, sums.ab[i]);
            }
        }
        let (h, m) = ([plan.faces[0].h, plan.faces[1].h], &plan.two_faces);
        for i in 0..LANES {
            let (x, y) = (-sums.aa[i], -2.0 * sums.ab[i]);
            let cos2 = x / fma(x, x, y * y).sqrt();
            // Within 45° of no motion cos 2θ ≥ 0; beyond, noise may reach a little further.
            let c = fma(0.5, cos2, 0.5).sqrt();
            let s = 0.5 * y * (cos2 / x) / c;
            let e = fma(c, sums.ax[i], s * sums.bx[i]) - h[0];
            let f = fma(c, sums.ay[i], s * sums.by[i]) - h[1];
            (found.c[i], found.s[i]) = (c, s);
            found.ux[i] = fma(m.m11, e, m.m12 * f);
            found.uy[i] = fma(m.m21, e, m.m22 * f);
        }
    }

    /// Minimises `‖c a + s b − h‖²` with a, b, h projected onto the complement of the translations.
    fn gauss_newton(&mut self) {
        self.sum_up();
        let Self { plan, found, sums, .. } = self;
        let (inverse, nh) = (&plan.inverse, plan.nh);
        let share = inverse * nh;
        for i in 0..LANES {
            let (ax, ay, bx, by) = (sums.ax[i], sums.ay[i], sums.bx[i], sums.by[i]);
            let px = fma(inverse.m11, ax, inverse.m12 * ay);
            let py = fma(inverse.m21, ax, inverse.m22 * ay);
            let qx = fma(inverse.m11, bx, inverse.m12 * by);
            let qy = fma(inverse.m21, bx, inverse.m22 * by);
            sums.aa[i] -= fma(ax, px, ay * py);
            sums.ab[i] -= fma(ax, qx, ay * qy);
            sums.bb[i] -= fma(bx, qx, by * qy);
            sums.ah[i] -= fma(ax, share.x, ay * share.y);
            sums.bh[i] -= fma(bx, share.x, by * share.y);
        }
        found.c = [1.0; LANES];
        found.s = ZERO;
        for _ in 0..MOST_STEPS {
            let mut moving = 0;
            for i in 0..LANES {
                let (c, s) = (found.c[i], found.s[i]);
                let (aa, ab, bb) = (sums.aa[i], sums.ab[i], sums.bb[i]);
                let slope = fma(
                    c * s,
                    bb - aa,
                    fma(fma(c, c, -s * s), ab, fma(s, sums.ah[i], -c * sums.bh[i])),
                );
                let curvature = fma(s * s, aa, fma(-2.0 * c * s, ab, c * c * bb));
                let step = -slope / curvature;
                let scale = 1.0 / fma(step, step, 1.0).sqrt();
                found.c[i] = fma(-step, s, c) * scale;
                found.s[i] = fma(step, c, s) * scale;
                moving |= u64::from(step.abs() > SETTLED);
            }
            if moving == 0 {
                break;
            }
        }
        for i in 0..LANES {
            let (c, s) = (found.c[i], found.s[i]);
            let x = fma(c, sums.ax[i], s * sums.bx[i]) - nh.x;
            let y = fma(c, sums.ay[i], s * sums.by[i]) - nh.y;
            found.ux[i] = fma(inverse.m11, x, inverse.m12 * y);
            found.uy[i] = fma(inverse.m21, x, inverse.m22 * y);
        }
    }

    /// Sums over all touches.
    fn sum_up(&mut self) {
        let Self { plan, noise, steepness, truth, sums, contacts, .. } = self;
        *sums = Sums::ZERO;
        for (touch, noise) in plan.touches.iter().zip(noise.iter()) {
            Self::touch(truth, steepness, touch, noise, contacts);
            let TouchPlan { n, h, .. } = *touch;
            for i in 0..LANES {
                let (a, b) = (contacts.a[i], contacts.b[i]);
                sums.ax[i] = fma(n.x, a, sums.ax[i]);
                sums.ay[i] = fma(n.y, a, sums.ay[i]);
                sums.bx[i] = fma(n.x, b, sums.bx[i]);
                sums.by[i] = fma(n.y, b, sums.by[i]);
                sums.aa[i] = fma(a, a, sums.aa[i]);
                sums.ab[i] = fma(a, b, sums.ab[i]);
                sums.bb[i] = fma(b, b, sums.bb[i]);
                sums.ah[i] = fma(a, h, sums.ah[i]);
                sums.bh[i] = fma(b, h, sums.bh[i]);
            }
        }
    }

    /// Greatest of `|R(p + u) − R*(p + u*)|²` over the weld points.
    fn deviations(&mut self, out: &mut [f32; LANES]) {
        let Self { plan, truth, found, contacts, .. } = self;
        // Error of the turn (in `found`), and of the translation at the centre.
        let (shift_x, shift_y) = (&mut contacts.a, &mut contacts.b);
        for i in 0..LANES {
            let (c, s, x, y) = (found.c[i], found.s[i], found.ux[i], found.uy[i]);
            let (tc, ts, tx, ty) = (truth.c[i], truth.s[i], truth.ux[i], truth.uy[i]);
            shift_x[i] = fma(c, x, -s * y) - fma(tc, tx, -ts * ty);
            shift_y[i] = fma(s, x, c * y) - fma(ts, tx, tc * ty);
            found.c[i] = c - tc;
            found.s[i] = s - ts;
            found.ux[i] = 0.0;
        }
        for p in &plan.weld_points {
            for i in 0..LANES {
                let x = fma(found.c[i], p.x, fma(-found.s[i], p.y, shift_x[i]));
                let y = fma(found.s[i], p.x, fma(found.c[i], p.y, shift_y[i]));
                let square = fma(x, x, y * y);
                found.ux[i] = if square > found.ux[i] { square } else { found.ux[i] };
            }
        }
        for (out, &square) in out.iter_mut().zip(&found.ux) {
            *out = square as f32;
        }
    }
}
