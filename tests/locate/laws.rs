//! Laws that hold for every layout, checked on random ones (fixed seed).

use crate::scenes::{NAMED, SIGMA, Scene, assert_same_motion, direction, generator};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Fit, Freedoms, SmallMotion, Touch, displaced, forecast, locate};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rand::RngExt;

fn fixed() -> ProptestConfig {
    ProptestConfig {
        cases: 400,
        rng_seed: RngSeed::Fixed(20_240_611),
        failure_persistence: None,
        ..Default::default()
    }
}

fn any_freedoms() -> impl Strategy<Value = Freedoms> {
    proptest::sample::select(&NAMED[..])
}

fn any_scene(extra: impl Strategy<Value = usize>) -> impl Strategy<Value = (Freedoms, usize, u64)> {
    (any_freedoms(), extra, any::<u64>())
}

fn solved(freedoms: Freedoms, touches: &[Touch]) -> Fit {
    locate(freedoms, touches, SIGMA).unwrap_or_else(|e| panic!("{e}: {touches:?}"))
}

/// The same touch seen in another frame.
fn seen_from(frame: &Pose, t: &Touch) -> Touch {
    Touch {
        face: t.face,
        search: frame.vector(&t.search),
        reference: frame.point(&t.reference),
        current: t.current.map(|c| frame.point(&c)),
    }
}

/// A change of frame that the freedoms allow.
fn frame(freedoms: Freedoms, seed: u64) -> Pose {
    let mut rng = generator(seed);
    let shift = direction(&mut rng) * 700.0;
    let turn = rng.random_range(-3.0..3.0);
    match freedoms {
        Freedoms::SLIDE_XY | Freedoms::PLAN => Pose::planar(shift.x, shift.y, turn),
        Freedoms::UPRIGHT => Pose::new(shift, Vector3::z() * turn),
        _ => Pose::new(shift, direction(&mut rng) * turn),
    }
}

proptest! {
    #![proptest_config(fixed())]

    #[test]
    fn exact_contacts_give_the_exact_motion((freedoms, extra, seed) in any_scene(0..5_usize)) {
        let scene = Scene::draw(freedoms, extra, seed);
        let located = solved(freedoms, &scene.touches);
        assert_same_motion(&located.motion, &scene.truth, &scene.touches[0].reference, 1e-8, 1e-10);
        prop_assert!(located.rms < 1e-9, "rms {}", located.rms);
        prop_assert!(located.consistent, "consistent");
    }

    #[test]
    fn without_redundancy_nothing_is_left_over((freedoms, extra, seed) in any_scene(Just(0_usize))) {
        let scene = Scene::draw(freedoms, extra, seed);
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        let located = solved(freedoms, &touches);
        prop_assert_eq!(located.redundancy, 0);
        prop_assert!(located.residuals.iter().all(|e| e.abs() < 1e-9), "{:?}", located.residuals);
    }

    #[test]
    fn a_change_of_frame_changes_nothing_but_the_frame((freedoms, extra, seed) in any_scene(0..5_usize)) {
        let scene = Scene::draw(freedoms, extra, seed);
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        let frame = frame(freedoms, seed);
        let moved: Vec<_> = touches.iter().map(|t| seen_from(&frame, t)).collect();
        let (here, there) = (solved(freedoms, &touches), solved(freedoms, &moved));
        let expected = frame * here.motion * frame.inverse();
        assert_same_motion(&there.motion, &expected, &moved[0].reference, 1e-8, 1e-10);
        for (a, b) in here.residuals.iter().zip(&there.residuals) {
            prop_assert!((a - b).abs() < 1e-9, "residual {} became {}", a, b);
        }
        prop_assert!((here.condition_reference / there.condition_reference - 1.0).abs() < 1e-7, "condition");
        let (point, seam) = (touches[0].reference + Vector3::new(100.0, 50.0, 0.0), Vector3::new(1.0, 0.5, 0.0));
        let a = here.at_point(&point, &seam);
        let b = there.at_point(&frame.point(&point), &frame.vector(&seam));
        prop_assert!((a.sigma_along_mm - b.sigma_along_mm).abs() < 1e-7, "along {:?} {:?}", a, b);
        prop_assert!((a.sigma_across_mm - b.sigma_across_mm).abs() < 1e-7, "across {:?} {:?}", a, b);
    }

    #[test]
    fn the_order_of_the_touches_does_not_matter((freedoms, extra, seed) in any_scene(0..5_usize), by in 1..7_usize) {
        let scene = Scene::draw(freedoms, extra, seed);
        let touches = scene.noisy(SIGMA, &mut generator(seed));
        let mut turned = touches.clone();
        turned.rotate_left(by % touches.len());
        turned.swap(0, touches.len() - 1);
        let (a, b) = (solved(freedoms, &touches), solved(freedoms, &turned));
        assert_same_motion(&a.motion, &b.motion, &touches[0].reference, 1e-9, 1e-11);
        prop_assert!((a.covariance.full - b.covariance.full).norm() <= 1e-9 * a.covariance.full.norm(), "covariance");
    }

    #[test]
    fn touching_everything_again_shrinks_the_covariance_by_the_number(
        (freedoms, extra, seed) in any_scene(0..3_usize),
        times in 2..5_usize,
    ) {
        let scene = Scene::draw(freedoms, extra, seed);
        // Every round on faces of its own: two touches of one face may not stand in one place.
        let round = |k: usize| scene.touches.iter().map(move |t| Touch { face: t.face + 100 * k, ..*t });
        let again: Vec<_> = (0..times).flat_map(round).collect();
        let (once, often) = (solved(freedoms, &scene.touches), solved(freedoms, &again));
        let expected = once.covariance.full / times as f64;
        prop_assert!((often.covariance.full - expected).norm() <= 1e-8 * expected.norm(), "covariance");
    }

    #[test]
    fn the_covariance_grows_with_the_square_of_the_repeatability((freedoms, extra, seed) in any_scene(0..3_usize)) {
        let scene = Scene::draw(freedoms, extra, seed);
        let one = solved(freedoms, &scene.touches);
        let three = locate(freedoms, &scene.touches, 3.0 * SIGMA).expect("solvable");
        prop_assert!((three.covariance.full - one.covariance.full * 9.0).norm() <= 1e-9 * three.covariance.full.norm());
        prop_assert_eq!(one.motion, three.motion);
    }

    #[test]
    fn a_forecast_is_what_an_unmoved_part_gives((freedoms, extra, seed) in any_scene(0..5_usize)) {
        let scene = Scene::draw(freedoms, extra, seed);
        let unmoved: Vec<_> = scene.touches.iter().map(|t| t.found(t.reference)).collect();
        let located = solved(freedoms, &unmoved);
        let taught: Vec<_> = scene.touches.iter().map(|t| Touch { current: None, ..*t }).collect();
        let forecast = forecast(freedoms, &taught, SIGMA).expect("solvable");
        let (a, b) = (forecast.covariance.full, located.covariance.full);
        prop_assert!((a - b).norm() <= 1e-8 * b.norm(), "covariance");
        prop_assert!((forecast.condition / located.condition_reference - 1.0).abs() < 1e-7, "condition");
        prop_assert_eq!(forecast.redundancy, located.redundancy);
    }

    /// Each reading alone a little further: the solver's own answer, by central differences.
    #[test]
    fn the_effect_of_a_touch_is_what_the_solver_makes_of_its_reading((freedoms, extra, seed) in any_scene(0..4_usize)) {
        let scene = Scene::draw(freedoms, extra, seed);
        let effects = forecast(freedoms, &scene.touches, SIGMA).expect("solvable").effects;
        let point = Point3::new(310.0, 170.0, 40.0);
        for (i, effect) in effects.iter().enumerate() {
            let found = |by: f64| {
                let touches = scene.touches.iter().enumerate().map(|(n, t)| {
                    t.found(t.reference + if n == i { t.search.normalize() * by } else { Vector3::zeros() })
                });
                solved(freedoms, &touches.collect::<Vec<_>>()).motion.displacement(&point)
            };
            let by = 1e-3;
            let off = (found(by) - found(-by)) / (2.0 * by) - displaced(&effect.gain, &point);
            prop_assert!(off.norm() < 1e-5 * (1.0 + effect.gain.norm()), "touch {}: {}", i, off);
        }
    }

    /// Read by its touches, a small motion within the freedoms is found as it is.
    #[test]
    fn the_touches_find_a_small_motion_whole((freedoms, extra, seed) in any_scene(0..4_usize), parts in prop::array::uniform6(-1.0..1.0_f64)) {
        let scene = Scene::draw(freedoms, extra, seed);
        let effects = forecast(freedoms, &scene.touches, SIGMA).expect("solvable").effects;
        prop_assume!(freedoms != Freedoms::ALONG_SEARCH);
        let moved = SmallMotion::from_fn(|axis, _| {
            let unit = if axis < 3 { 1.0 } else { 0.01 };
            if freedoms.bits() & (1 << axis) != 0 { parts[axis] * unit } else { 0.0 }
        });
        let found: SmallMotion = effects.iter().map(|e| e.gain * e.slope.dot(&moved)).sum();
        prop_assert!((found - moved).norm() < 1e-8, "{} for {}", found, moved);
    }

    #[test]
    fn the_shift_depends_on_the_origin_and_the_motion_does_not(
        (freedoms, extra, seed) in any_scene(0..2_usize),
        o in prop::array::uniform3(-500.0..500.0_f64),
    ) {
        let scene = Scene::draw(freedoms, extra, seed);
        let located = solved(freedoms, &scene.touches);
        let origin = Point3::from(o);
        // Rotation about the origin o, then its shift: the same motion.
        let turned = Pose::from_parts(located.motion.rotation(), Vector3::zeros());
        let about = origin + turned.vector(&(scene.touches[0].reference - origin)) + located.translation_about(&origin);
        prop_assert!((about - located.motion.point(&scene.touches[0].reference)).norm() < 1e-9);
        prop_assert!((located.translation_about(&Point3::origin()) - located.motion.translation()).norm() < 1e-9);
    }
}
