//! Selects among several possible fits the one that turns least.
//!
//! A line has no direction, so with two faces the cost is the same half a turn
//! further on, and with single touches on three faces there are generally two
//! exact fits. The answer turns by at most a quarter turn and keeps every face
//! turned to its search; of two such fits that the touches cannot tell apart it is
//! the one that turns less.
//!
//! With tilts, and with a turn about a fixed pivot, not all fits are known in advance. The fit reached from no motion is
//! taken if the touches agree with it and it turns little. Otherwise Gauss–Newton
//! starts again from motions all around, and the fit that turns least is taken among
//! those that the touches agree with; if they agree with none, the first fit.

use super::Freedoms;
use super::consistency::chi2_limit;
use super::error::LocateError;
use super::jacobian::{Motion, stepped};
use super::layout::TouchLayout;
use super::newton::{Settled, cost_at, settle};
use super::turn::minima;
use nalgebra::Vector6;
use std::f64::consts::FRAC_PI_2;

/// A quarter turn with room for rounding, radians.
const QUARTER_TURN: f64 = FRAC_PI_2 + 1e-9;

/// A fit that turns by less than this and that the touches agree with is taken at once, radians.
const SMALL_TURN: f64 = 0.1;

/// Fits whose turns differ by less than this are the same, radians.
const SAME_TURN: f64 = 1e-6;

/// Turn about each axis of the further starting motions, radians.
const START_TURN: f64 = 0.7;

/// A sum of squared residuals below this is rounding, mm².
const ROUNDING_MM2: f64 = 1e-12;

const NO_FIT: LocateError = LocateError::WrongSide { touch: None, rotation: 0.0 };

/// The selected fit. `sigma` in mm.
pub(crate) fn select<const K: usize>(
    layout: &TouchLayout,
    sigma: f64,
) -> Result<Settled<K>, LocateError> {
    // The taught layout determines the motion: if the equations are singular, the contacts fit nothing.
    let settle = |from| settle(layout, from).ok_or(NO_FIT);
    let agree = |settled: &Settled<K>| agrees(layout, &settled.motion, sigma);
    let settled = if !layout.freedoms.rotates() {
        settle(Motion::NONE)
    } else if turns_in_closed_form(layout.freedoms) {
        let settled = settle(select_turn(layout, sigma)?)?;
        checked_turn(layout, &settled.motion).map(|_| settled)
    } else {
        // Infinite turn if the touches disagree: taken only if there is no other fit.
        let fit = |from| {
            let settled = settle(from)?;
            let turn = checked_turn(layout, &settled.motion)?;
            Ok((if agree(&settled) { turn } else { f64::INFINITY }, settled))
        };
        let turn_of = |fit: &Result<(f64, _), _>| fit.as_ref().map_or(f64::INFINITY, |f| f.0);
        let mut best = fit(Motion::NONE);
        if turn_of(&best) > SMALL_TURN {
            for start in starts(layout) {
                let other = fit(start);
                if turn_of(&other) < turn_of(&best) - SAME_TURN {
                    best = other;
                }
            }
        }
        best.map(|(_, settled)| settled)
    }?;
    // Without redundancy an existing fit leaves no residual.
    if layout.rows.len() == layout.freedoms.count() && !agree(&settled) {
        return Err(NO_FIT);
    }
    Ok(settled)
}

/// Whether the touches agree with a motion: chi-squared at most its 99 % point, or rounding only.
fn agrees(layout: &TouchLayout, motion: &Motion, sigma: f64) -> bool {
    let redundancy = layout.rows.len() - layout.freedoms.count();
    cost_at(layout, motion) <= sigma * sigma * chi2_limit(redundancy.max(1)) + ROUNDING_MM2
}

/// The starting motions: about each axis that the part may turn about, turned by minus
/// [`START_TURN`], 0 or plus [`START_TURN`].
fn starts(layout: &TouchLayout) -> impl Iterator<Item = Motion> {
    let turns = |freedom| {
        if layout.freedoms.contains(freedom) { &[-START_TURN, 0.0, START_TURN][..] } else { &[0.0] }
    };
    let (x, y, z) = (turns(Freedoms::TILT_X), turns(Freedoms::TILT_Y), turns(Freedoms::TURN));
    z.iter()
        .flat_map(move |z| y.iter().flat_map(move |y| x.iter().map(move |x| (x, y, z))))
        .map(|(&x, &y, &z)| stepped(layout, &Motion::NONE, &Vector6::new(0.0, 0.0, 0.0, x, y, z)))
}

/// Whether [`minima`] knows all fits: the part turns about Z alone, and about any pivot or, if it
/// may not slide on the table, about the frame origin.
fn turns_in_closed_form(freedoms: Freedoms) -> bool {
    let slides = freedoms & Freedoms::SLIDE_XY;
    !freedoms.tilts() && (slides == Freedoms::SLIDE_XY || slides.is_empty())
}

/// The selected fit for freedoms with a turn about Z.
fn select_turn(layout: &TouchLayout, sigma: f64) -> Result<Motion, LocateError> {
    let mut best: Option<(f64, f64, Motion)> = None;
    let mut error: Option<(f64, LocateError)> = None;
    for candidate in minima(layout).into_iter().flatten() {
        if let Err(reason) = checked_turn(layout, &candidate.motion) {
            // Of several errors, report that of the fit that turns least.
            if error.as_ref().is_none_or(|(turn, _)| candidate.theta.abs() < *turn) {
                error = Some((candidate.theta.abs(), reason));
            }
            continue;
        }
        let (turn, cost) = (candidate.theta.abs(), cost_at(layout, &candidate.motion));
        let better = best.is_none_or(|(best_turn, best_cost, _)| {
            let distinct = (cost - best_cost).abs() > sigma * sigma * chi2_limit(1);
            if distinct { cost < best_cost } else { turn < best_turn }
        });
        if better {
            best = Some((turn, cost, candidate.motion));
        }
    }
    match (best, error) {
        (Some((_, _, motion)), _) => Ok(motion),
        (None, Some((_, error))) => Err(error),
        (None, None) => Err(NO_FIT),
    }
}

/// The angle of the rotation, radians, if it is at most a quarter turn and every moved face still
/// faces its search.
fn checked_turn(layout: &TouchLayout, motion: &Motion) -> Result<f64, LocateError> {
    let rotation = libm::acos(((motion.r.trace() - 1.0) / 2.0).clamp(-1.0, 1.0));
    let touch = layout.rows.iter().position(|row| (motion.r * row.n).dot(&row.d) <= 0.0);
    if touch.is_some() || rotation > QUARTER_TURN {
        return Err(LocateError::WrongSide { touch, rotation });
    }
    Ok(rotation)
}
