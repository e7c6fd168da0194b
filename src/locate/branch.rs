//! Which of the possible fits is the answer: the one that turns least.
//!
//! A line has no arrow, so with two faces the cost is the same half a turn
//! further on, and with single touches on three faces there are generally two
//! exact fits. The answer turns by no more than a quarter turn and keeps every
//! face turned to its search; of two such fits that the touches cannot tell
//! apart it is the one that turns less.
//!
//! With tilts the fits are not all known beforehand. The one reached from no motion
//! is taken if the touches agree with it and it turns little; otherwise the search
//! begins again all around, and among the fits that the touches agree with the one
//! that turns least is taken. If they agree with none, it stays with the first.

use super::Freedoms;
use super::consistency::chi2_limit;
use super::error::LocateError;
use super::jacobian::{Motion, basis};
use super::layout::TouchLayout;
use super::newton::{Settled, cost_at, moved, settle};
use super::turn::minima;
use nalgebra::Vector6;
use std::f64::consts::FRAC_PI_2;

/// Room for rounding at exactly a quarter turn, radians.
const QUARTER_TURN: f64 = FRAC_PI_2 + 1e-9;

/// A fit that turns by less than this and that the touches agree with needs no rival, radians.
const NEAR: f64 = 0.1;

/// Turns closer than this are of one fit, radians.
const ALIKE: f64 = 1e-6;

/// How far those turn about each axis that the search begins from when the direct way is in doubt,
/// radians.
const STARTS_TURN: f64 = 0.7;

/// A sum of squared residuals below this is rounding, mm².
const ROUNDING: f64 = 1e-12;

const NO_FIT: LocateError = LocateError::WrongSide { touch: None, rotation: 0.0 };

pub(crate) fn reached<const K: usize>(
    layout: &TouchLayout,
    sigma: f64,
) -> Result<Settled<K>, LocateError> {
    let basis = basis::<K>(layout);
    // The taught layout is sound: if the equations fail, the contacts fit nothing.
    let settle = |from| settle(layout, &basis, from).ok_or(NO_FIT);
    let sure = |settled: &Settled<K>| agrees(layout, &settled.motion, sigma);
    let settled = match layout.freedoms {
        Freedoms::SlideTurn | Freedoms::SlideThreeTurn => {
            let settled = settle(turned(layout, sigma)?)?;
            within(layout, &settled.motion).map(|_| settled)
        }
        // The other number of unknowns is never asked for this.
        Freedoms::SlideTilt if K == 6 => {
            // With the turn where the touches agree, and otherwise as a last resort.
            let fit = |from| {
                let settled = settle(from)?;
                let turn = within(layout, &settled.motion)?;
                Ok((if sure(&settled) { turn } else { f64::INFINITY }, settled))
            };
            let turn_of = |fit: &Result<(f64, _), _>| fit.as_ref().map_or(f64::INFINITY, |f| f.0);
            let mut best = fit(Motion::NONE);
            if turn_of(&best) > NEAR {
                for start in starts() {
                    let other = fit(start);
                    if turn_of(&other) < turn_of(&best) - ALIKE {
                        best = other;
                    }
                }
            }
            best.map(|(_, settled)| settled)
        }
        _ => settle(Motion::NONE),
    }?;
    // As many touches as unknowns leave nothing over where there is a fit at all.
    if layout.rows.len() == layout.freedoms.count() && !sure(&settled) {
        return Err(NO_FIT);
    }
    Ok(settled)
}

/// Whether the touches agree with a motion, up to rounding at least.
fn agrees(layout: &TouchLayout, motion: &Motion, sigma: f64) -> bool {
    let redundancy = layout.rows.len() - layout.freedoms.count();
    cost_at(layout, motion) <= sigma * sigma * chi2_limit(redundancy.max(1)) + ROUNDING
}

/// Motions all around no motion, itself among them: turned about each axis of the work frame back,
/// not or on.
fn starts() -> impl Iterator<Item = Motion> {
    let turn = |k: i32| f64::from(k % 3 - 1) * STARTS_TURN;
    (0..27).map(move |k| {
        moved(&Motion::NONE, &Vector6::new(0.0, 0.0, 0.0, turn(k), turn(k / 3), turn(k / 9)))
    })
}

/// The fit with a turn about Z.
fn turned(layout: &TouchLayout, sigma: f64) -> Result<Motion, LocateError> {
    let mut best: Option<(f64, f64, Motion)> = None;
    let mut refusal: Option<(f64, LocateError)> = None;
    for candidate in minima(layout).into_iter().flatten() {
        if let Err(reason) = within(layout, &candidate.motion) {
            // The one that turns less is the one worth telling.
            if refusal.as_ref().is_none_or(|(turn, _)| candidate.theta.abs() < *turn) {
                refusal = Some((candidate.theta.abs(), reason));
            }
            continue;
        }
        let (turn, cost) = (candidate.theta.abs(), cost_at(layout, &candidate.motion));
        let better = best.is_none_or(|(best_turn, best_cost, _)| {
            let unlike = (cost - best_cost).abs() > sigma * sigma * chi2_limit(1);
            if unlike { cost < best_cost } else { turn < best_turn }
        });
        if better {
            best = Some((turn, cost, candidate.motion));
        }
    }
    match (best, refusal) {
        (Some((_, _, motion)), _) => Ok(motion),
        (None, Some((_, refusal))) => Err(refusal),
        (None, None) => Err(NO_FIT),
    }
}

/// By how much it turns: within a quarter turn, and every moved face still faces its search.
fn within(layout: &TouchLayout, motion: &Motion) -> Result<f64, LocateError> {
    let rotation = ((motion.r.trace() - 1.0) / 2.0).clamp(-1.0, 1.0).acos();
    let touch = layout.rows.iter().position(|row| (motion.r * row.n).dot(&row.d) <= 0.0);
    if touch.is_some() || rotation > QUARTER_TURN {
        return Err(LocateError::WrongSide { touch, rotation });
    }
    Ok(rotation)
}
