//! Which of the possible fits is the answer: the one reached from no motion.
//!
//! A line has no arrow, so with two faces the cost is the same half a turn
//! further on, and with single touches on three faces there are generally two
//! exact fits. The answer turns by no more than a quarter turn and keeps every
//! face turned to its search; of two such fits that the touches cannot tell
//! apart it is the one that turns less.

use super::Freedoms;
use super::consistency::chi2_limit;
use super::jacobian::{Motion, basis};
use super::layout::Layout;
use super::newton::{Settled, cost_at, settle};
use super::refusal::Refusal;
use super::turn::minima;
use std::f64::consts::FRAC_PI_2;

/// Room for rounding at exactly a quarter turn, radians.
const QUARTER_TURN: f64 = FRAC_PI_2 + 1e-9;

/// Steps in which the contacts are led from taught to current when the direct way fails.
const LED_STEPS: usize = 32;

const NO_FIT: Refusal = Refusal::WrongSide { touch: None, rotation: 0.0 };

pub(crate) fn reached<const K: usize>(layout: &Layout, sigma: f64) -> Result<Settled<K>, Refusal> {
    let basis = basis::<K>(layout);
    // The taught layout is sound: if the equations fail, the contacts fit nothing.
    let settle = |layout: &Layout, from| settle(layout, &basis, from).ok_or(NO_FIT);
    match layout.freedoms {
        Freedoms::SlideOne | Freedoms::SlideTwo | Freedoms::SlideThree => {
            settle(layout, Motion::NONE)
        }
        Freedoms::SlideTurn | Freedoms::SlideThreeTurn => {
            let settled = settle(layout, turned(layout, sigma)?)?;
            within(layout, &settled.motion).map(|()| settled)
        }
        Freedoms::SlideTilt => {
            let direct = settle(layout, Motion::NONE);
            if let Ok(settled) = &direct
                && within(layout, &settled.motion).is_ok()
            {
                return direct;
            }
            let led = led(layout, settle)?;
            within(layout, &led.motion).map(|()| led)
        }
    }
}

/// The fit with a turn about Z.
fn turned(layout: &Layout, sigma: f64) -> Result<Motion, Refusal> {
    let mut best: Option<(f64, f64, Motion)> = None;
    let mut refusal: Option<(f64, Refusal)> = None;
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

/// Follows the fit while the contacts go from the taught to the current places.
fn led<const K: usize>(
    layout: &Layout,
    settle: impl Fn(&Layout, Motion) -> Result<Settled<K>, Refusal>,
) -> Result<Settled<K>, Refusal> {
    let mut between = layout.clone();
    let mut settled = settle(&between, Motion::NONE)?;
    for step in 1..=LED_STEPS {
        let share = step as f64 / LED_STEPS as f64;
        for (row, goal) in between.rows.iter_mut().zip(&layout.rows) {
            row.c = goal.r + (goal.c - goal.r) * share;
        }
        settled = settle(&between, settled.motion)?;
    }
    Ok(settled)
}

/// Within a quarter turn, and every moved face still faces its search.
fn within(layout: &Layout, motion: &Motion) -> Result<(), Refusal> {
    let rotation = ((motion.r.trace() - 1.0) / 2.0).clamp(-1.0, 1.0).acos();
    let touch = layout.rows.iter().position(|row| (motion.r * row.n).dot(&row.d) <= 0.0);
    if touch.is_some() || rotation > QUARTER_TURN {
        return Err(Refusal::WrongSide { touch, rotation });
    }
    Ok(())
}
