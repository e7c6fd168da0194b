//! How far *slide and turn* and *slide three ways and turn* reach: turns of nearly a quarter turn,
//! exact contacts, two touches on one face and one on another, with and without touches to spare.

use crate::scenes::{SIGMA, Scene, extra_rotation};
use nudgeproof::locate::{Freedoms, locate};

const SCENES: u64 = 2000;
const MOST_DEG: f64 = 85.0;

#[test]
fn turns_of_nearly_a_quarter_turn_are_found() {
    for freedoms in [Freedoms::PLAN, Freedoms::UPRIGHT] {
        for (extra, seed) in [0, 1, 3].into_iter().flat_map(|e| (0..SCENES).map(move |s| (e, s))) {
            let scene = Scene::turned(freedoms, extra, seed, MOST_DEG.to_radians());
            let located = locate(freedoms, &scene.touches, SIGMA)
                .unwrap_or_else(|why| panic!("{freedoms:?} + {extra}, seed {seed}: {why}"));
            let first = &scene.touches[0].reference;
            let off = (located.motion.point(first) - scene.truth.point(first)).norm();
            let turned = extra_rotation(&located.motion, &scene.truth).norm();
            assert!(
                off.max(turned) < 1e-6,
                "{freedoms:?} + {extra}, seed {seed}: off by {off} mm and {turned} rad"
            );
        }
    }
}
