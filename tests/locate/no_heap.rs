//! Locating on the plan takes nothing from the heap.

use crate::scenes::{SIGMA, Scene, generator};
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::{Freedoms, forecast, locate};

#[test]
fn the_planar_path_allocates_nothing() {
    for freedoms in [Freedoms::ALONG_SEARCH, Freedoms::SLIDE_XY, Freedoms::PLAN] {
        for extra in [0, 1, 4, 9] {
            let scene = Scene::draw(freedoms, extra, 40 + extra as u64);
            let touches = scene.noisy(SIGMA, &mut generator(1));
            let heap = allocation_counter::measure(|| {
                let located = locate(freedoms, &touches, SIGMA).expect("solvable");
                let end = located.at_point(&Point3::new(80.0, 160.0, 0.0), &Vector3::x());
                assert!(end.sigma_across_mm > 0.0 && forecast(freedoms, &touches, SIGMA).is_ok());
            });
            assert_eq!(heap.count_total, 0, "{freedoms:?} with {} touches", touches.len());
        }
    }
}
