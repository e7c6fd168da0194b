//! Gauss–Newton in all unknowns from a starting motion.

use super::jacobian::{Motion, normal_equations, stepped, tangent, unknowns};
use super::layout::TouchLayout;
use nalgebra::{SMatrix, Vector6};

/// A step that moves no contact by more than this share of the layout's size ends the iteration.
const SETTLED: f64 = 1e-13;

/// Rounding of the cost: relative to the cost, and relative to the layout's size squared.
const COST_ROUNDING: (f64, f64) = (1e-12, 1e-26);

/// Usual from no motion: 3 to 6 steps; from bad starts some tens.
const MOST_STEPS: usize = 100;

/// Greatest number of halvings before a step is rejected.
const MOST_HALVINGS: usize = 40;

/// Greatest turn in one step, radians.
const LONGEST_TURN: f64 = 0.5;

/// Result of the iteration.
pub(crate) struct Settled<const K: usize> {
    pub(crate) motion: Motion,
    /// Inverse of `JᵀJ` there, for steps along [`tangent`].
    pub(crate) inverse: SMatrix<f64, K, K>,
}

/// Minimises the cost, starting at `motion`; a step that would raise the cost is halved.
/// `None` if the normal equations are singular on the way.
pub(crate) fn settle<const K: usize>(
    layout: &TouchLayout,
    mut motion: Motion,
) -> Option<Settled<K>> {
    let unknowns: SMatrix<f64, 6, K> = unknowns(layout);
    let size = layout.spread(|row| row.c).1 + layout.spread(|row| row.r).1;
    let mut cost = cost_at(layout, &motion);
    let mut inverse = SMatrix::zeros();
    for _ in 0..MOST_STEPS {
        let (mut jtj, jte) = normal_equations(layout, &tangent::<K>(layout, &motion), &motion);
        // Columns without an unknown: any positive pivot, their step is zero.
        (layout.freedoms.count()..K).for_each(|k| jtj[(k, k)] = 1.0);
        inverse = jtj.cholesky()?.inverse();
        let mut step: Vector6<f64> = unknowns * (inverse * -jte);
        let turn = step.fixed_rows::<3>(3).norm();
        if turn > LONGEST_TURN {
            step *= LONGEST_TURN / turn;
        }
        let mut next = stepped(layout, &motion, &step);
        let mut next_cost = cost_at(layout, &next);
        let bound = cost * (1.0 + COST_ROUNDING.0)
            + COST_ROUNDING.1 * (size * size + motion.s.norm_squared());
        for _ in 0..MOST_HALVINGS {
            if next_cost <= bound {
                break;
            }
            step *= 0.5;
            next = stepped(layout, &motion, &step);
            next_cost = cost_at(layout, &next);
        }
        let accepted = next_cost <= bound;
        if accepted {
            (motion, cost) = (next, next_cost);
        }
        let length = step.fixed_rows::<3>(0).norm() + size * step.fixed_rows::<3>(3).norm();
        if length <= SETTLED * (size + motion.s.norm()) || !accepted {
            break;
        }
    }
    let finite =
        motion.s.iter().chain(motion.r.iter()).chain(inverse.iter()).all(|v| v.is_finite());
    finite.then_some(Settled { motion, inverse })
}

/// Sum of the squared residuals, mm².
pub(crate) fn cost_at(layout: &TouchLayout, motion: &Motion) -> f64 {
    layout.rows.iter().map(|row| motion.residual(row)).map(|e| e * e).sum()
}
