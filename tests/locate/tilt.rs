//! How far *slide and tilt* reaches: large tilts and turns, exact contacts, layouts of several
//! kinds. The figures stand in the docs of `locate`.

use crate::scenes::{SIGMA, Scene, extra_rotation, plan};
use nudgeproof::geometry::{Pose, Vector3};
use nudgeproof::locate::{Freedoms, chi2_limit, locate};
use rand::{Rng, RngExt};
use std::f64::consts::{FRAC_PI_2, TAU};

const SCENES: u64 = 1000;

/// Largest tilt and turn, degrees: usual, and as far as is promised.
const SMALL: (f64, f64) = (11.0, 11.0);
const LARGE: (f64, f64) = (45.0, 75.0);

/// Upper face, then others in order: the way around on the plan, the way up, how many touches.
type Kind = &'static [(f64, f64, usize)];
const TOP: f64 = -FRAC_PI_2;
const THREE_TWO_ONE: Kind = &[(0.0, TOP, 3), (0.0, 0.0, 2), (1.5, 0.0, 1)];
const TWO_EACH: Kind = &[(0.0, TOP, 2), (0.0, 0.0, 2), (1.5, 0.0, 2)];
const TWO_TWO_ONE_ONE: Kind = &[(0.0, TOP, 2), (0.0, 0.0, 2), (1.5, 0.0, 1), (-1.5, -0.3, 1)];
const ONE_EACH: Kind =
    &[(0.0, TOP, 1), (0.0, 0.0, 1), (1.5, 0.0, 1), (-1.5, -0.3, 1), (3.0, -0.5, 1), (0.7, 0.3, 1)];

/// A part of this kind anywhere on the table, no corner quite square.
fn faces(kind: Kind, rng: &mut impl Rng) -> Vec<(Vector3<f64>, usize)> {
    let spin = rng.random_range(0.0..TAU);
    let face = |&(around, up, touches): &(f64, f64, usize)| {
        let around = plan(spin + around + rng.random_range(-0.1..0.1));
        (around * libm::cos(up) + Vector3::z() * libm::sin(up), touches)
    };
    kind.iter().map(face).collect()
}

/// A turn on the table, then a tilt about some line on it; together within a quarter turn.
fn rotation((tilt, turn): (f64, f64), rng: &mut impl Rng) -> Vector3<f64> {
    loop {
        let turn = rng.random_range(-1.0..1.0) * turn.to_radians();
        let tilt = rng.random_range(0.0..1.0) * tilt.to_radians();
        let about = plan(rng.random_range(0.0..TAU));
        let turned = Pose::new(Vector3::zeros(), Vector3::z() * turn);
        let both = Pose::new(Vector3::zeros(), about * tilt) * turned;
        if both.angle() < FRAC_PI_2 {
            return both.rotation_vector();
        }
    }
}

/// Of the scenes drawn.
#[derive(Debug, Default)]
struct Reach {
    /// The true motion, within 10⁻⁶ mm and radians.
    found: u64,
    /// Another that the touches agree with and that turns no more.
    less: u64,
    /// Another that the touches agree with and that turns more.
    more: u64,
    /// No answer, with a reason.
    refused: u64,
}

/// An answer that the touches do not agree with is wrong, for one that they agree with is there.
fn reach(kind: Kind, extra: usize, most: (f64, f64)) -> Reach {
    let mut reach = Reach::default();
    for seed in 0..SCENES {
        let scene = Scene::tilted(|rng| faces(kind, rng), extra, seed, |rng| rotation(most, rng));
        let located = match locate(Freedoms::SIX, &scene.touches, SIGMA) {
            Ok(located) => located,
            Err(why) => {
                assert_eq!(why.code(), "wrong_side", "{kind:?}, seed {seed}: {why}");
                reach.refused += 1;
                continue;
            }
        };
        let first = &scene.touches[0].reference;
        let off = (located.motion.point(first) - scene.truth.point(first)).norm();
        let turned = extra_rotation(&located.motion, &scene.truth).norm();
        assert!(
            located.chi2 <= chi2_limit(located.redundancy.max(1)),
            "{kind:?} + {extra}, seed {seed}: off by {off} mm, rms {}",
            located.rms
        );
        if off.max(turned) < 1e-6 {
            reach.found += 1;
        } else if located.motion.angle() <= scene.truth.angle() {
            reach.less += 1;
        } else {
            reach.more += 1;
        }
    }
    println!("{kind:?} + {extra}, up to {most:?}: {reach:?}");
    reach
}

#[test]
fn three_two_one_finds_every_motion() {
    for extra in [0, 1, 3] {
        finds(THREE_TWO_ONE, extra, 100.0, 100.0);
    }
}

/// At least so many of the scenes, out of 100, with small and with large motions; hardly any of
/// the others turns more than it should.
#[track_caller]
fn finds(kind: Kind, extra: usize, small: f64, large: f64) {
    for (most, percent) in [(SMALL, small), (LARGE, large)] {
        let reach = reach(kind, extra, most);
        assert!(100.0 * reach.found as f64 >= percent * SCENES as f64, "{kind:?}: {reach:?}");
        assert!(reach.more + reach.refused <= 1, "{kind:?}: {reach:?}");
    }
}

#[test]
fn touches_to_spare_tell_positions_apart() {
    for kind in [TWO_EACH, TWO_TWO_ONE_ONE, ONE_EACH] {
        finds(kind, 1, 99.9, 99.0);
        finds(kind, 3, 100.0, 100.0);
    }
}

#[test]
fn without_one_to_spare_the_least_turn_is_taken() {
    finds(TWO_EACH, 0, 99.0, 84.0);
    finds(TWO_TWO_ONE_ONE, 0, 97.5, 80.0);
    finds(ONE_EACH, 0, 96.0, 70.0);
}
