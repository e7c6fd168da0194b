//! A turn about Z, with slides on the table in every direction or in none, reduced to one unknown:
//! for any number of touches on any faces, all local minima of the cost are found.
//!
//! For a given angle the best translation is linear least squares. With
//! `a = n·c`, `b = n × c` (plan components), `h' = h − n_z c_z` and `R'` the
//! turn, the residual is `e = a cosθ + b sinθ − h' − n·(R'ᵀ s)`. Eliminating the
//! translation (projecting a, b, h' onto the complement of the column space of the normals'
//! components along which the part may slide)
//! leaves a quadratic in (cosθ, sinθ) on the unit circle. In the eigenframe of its
//! quadratic part, with the angle α counted from the flat axis, it is
//!
//! ```text
//! f(α) = μ₁ cos²α + μ₂ sin²α − 2 g₁ cosα − 2 g₂ sinα ,   μ₁ ≤ μ₂ , g₁, g₂ ≥ 0 (after mirroring)
//! ```
//!
//! One minimum always lies in [0, π/2]. A second one exists exactly when
//! `(μ₂ − μ₁)^⅔ > g₁^⅔ + g₂^⅔` (the astroid: evolute of an ellipse) and lies in [α*, π] with
//! `tan α* = −(g₂/g₁)^⅓`. Derived here. With exactly two faces g = 0 and both
//! are the closed form `2θ = atan2(−B, −A)`, half a turn apart.

use super::jacobian::Motion;
use super::layout::TouchLayout;
use crate::geometry::wrapped;
use nalgebra::{Matrix3, Vector3};
use std::f64::consts::{FRAC_PI_2, PI};

/// Bisection alone reaches the last digit of an angle in this many steps.
const MOST_STEPS: usize = 64;

/// A local minimum of the cost.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Candidate {
    /// Turn about Z, radians, positive counter-clockwise.
    pub(crate) theta: f64,
    pub(crate) motion: Motion,
}

/// The cost on the unit circle with the translation eliminated, and what recovers the translation.
struct Reduced {
    /// Coefficients of the cost: cost = ½ (A cos2θ + B sin2θ) − 2 (ga cosθ + gb sinθ) + const.
    aa: f64,
    ab: f64,
    bb: f64,
    ga: f64,
    gb: f64,
    /// The translations `R'ᵀ s` that belong to a, b and −h'.
    translations: [Vector3<f64>; 3],
}

/// All local minima, at most two; none if the normals do not determine the translation.
pub(crate) fn minima(layout: &TouchLayout) -> [Option<Candidate>; 2] {
    let Some(reduced) = Reduced::of(layout) else { return [None; 2] };
    reduced.angles().map(|theta| theta.map(|theta| reduced.candidate(theta)))
}

impl Reduced {
    fn of(layout: &TouchLayout) -> Option<Self> {
        let mut nn: Matrix3<f64> = Matrix3::zeros();
        let [mut na, mut nb, mut nh] = [Vector3::zeros(); 3];
        let [mut aa, mut ab, mut bb, mut ah, mut bh] = [0.0; 5];
        for row in &layout.rows {
            let (n, c) = (row.n, row.c);
            let a = n.x * c.x + n.y * c.y;
            let b = n.x * c.y - n.y * c.x;
            let h = row.h - n.z * c.z;
            let slides = layout.freedoms.slides(&n);
            nn += slides * slides.transpose();
            na += slides * a;
            nb += slides * b;
            nh += slides * h;
            (aa, ab, bb) = (aa + a * a, ab + a * b, bb + b * b);
            (ah, bh) = (ah + a * h, bh + b * h);
        }
        // Without an unknown: any positive pivot, its translation is zero.
        for (axis, slides) in layout.freedoms.slides(&Vector3::repeat(1.0)).iter().enumerate() {
            nn[(axis, axis)] += 1.0 - slides;
        }
        let inverse = nn.cholesky()?.inverse();
        let translations = [inverse * na, inverse * nb, inverse * nh];
        Some(Self {
            aa: aa - na.dot(&translations[0]),
            ab: ab - na.dot(&translations[1]),
            bb: bb - nb.dot(&translations[1]),
            ga: ah - na.dot(&translations[2]),
            gb: bh - nb.dot(&translations[2]),
            translations,
        })
    }

    fn candidate(&self, theta: f64) -> Candidate {
        let (s, c) = libm::sincos(theta);
        let r = Matrix3::new(c, -s, 0.0, s, c, 0.0, 0.0, 0.0, 1.0);
        let back = self.translations[0] * c + self.translations[1] * s - self.translations[2];
        Candidate { theta, motion: Motion { r, s: r * back } }
    }

    /// Angles of the local minima, radians, in (−π, π].
    fn angles(&self) -> [Option<f64>; 2] {
        // Eigenframe: `axis` is the angle of the flat axis.
        let half_gap = libm::hypot(0.5 * (self.aa - self.bb), self.ab);
        let axis = 0.5 * libm::atan2(-2.0 * self.ab, self.bb - self.aa);
        let (sin, cos) = libm::sincos(axis);
        let g1 = self.ga * cos + self.gb * sin;
        let g2 = self.gb * cos - self.ga * sin;
        // Mirrored so that both are positive: α → π − α, α → −α.
        let unmirror = |alpha: f64| {
            let alpha = if g1 < 0.0 { PI - alpha } else { alpha };
            let alpha = if g2 < 0.0 { -alpha } else { alpha };
            wrapped(alpha + axis)
        };
        let circle = Circle { gap: 2.0 * half_gap, g1: g1.abs(), g2: g2.abs() };
        circle.minima().map(|alpha| alpha.map(unmirror))
    }
}

/// `f(α) / 2` up to a constant: `½ gap sin²α − g₁ cosα − g₂ sinα`, g₁, g₂ ≥ 0.
struct Circle {
    gap: f64,
    g1: f64,
    g2: f64,
}

impl Circle {
    fn minima(&self) -> [Option<f64>; 2] {
        let Self { gap, g1, g2 } = *self;
        let near = self.minimum(0.0, FRAC_PI_2, libm::atan2(g2, gap + g1));
        let two_thirds = |v: f64| libm::cbrt(v) * libm::cbrt(v);
        let far = (two_thirds(gap) > two_thirds(g1) + two_thirds(g2)).then(|| {
            let crest = libm::atan2(libm::cbrt(g2), -libm::cbrt(g1));
            self.minimum(crest, PI, PI - libm::atan2(g2, gap - g1))
        });
        [Some(near), far]
    }

    /// The root of the slope between `low` (slope ≤ 0) and `high` (slope ≥ 0):
    /// Newton's method, with bisection whenever a step would leave the bracket.
    fn minimum(&self, mut low: f64, mut high: f64, start: f64) -> f64 {
        let mut alpha = start.clamp(low, high);
        for _ in 0..MOST_STEPS {
            let (sin, cos) = libm::sincos(alpha);
            let slope = self.gap * sin * cos + self.g1 * sin - self.g2 * cos;
            let curvature = self.gap * (cos * cos - sin * sin) + self.g1 * cos + self.g2 * sin;
            if slope < 0.0 {
                low = alpha;
            } else {
                high = alpha;
            }
            let newton = alpha - slope / curvature;
            let next = if newton >= low && newton <= high { newton } else { 0.5 * (low + high) };
            let step = (next - alpha).abs();
            alpha = next;
            if step <= f64::EPSILON * PI {
                break;
            }
        }
        alpha
    }
}
