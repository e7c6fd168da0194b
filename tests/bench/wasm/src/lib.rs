//! The same work for both sides: planar solves with covariance, and studies of the rectangle.

#[path = "../../rectangle.rs"]
mod rectangle;

use nudgeproof::locate::study::{Engine, study_layout};
use nudgeproof::locate::{Freedoms, locate};

/// Solves slide-and-turn with four touches this many times; the sum of the turns, so that nothing
/// is left out.
#[unsafe(no_mangle)]
pub extern "C" fn solves(count: u32) -> f64 {
    let mut sum = 0.0;
    for i in 0..count {
        let by = f64::from(i % 1000) * 0.01;
        let touches = rectangle::touches().map(|t| {
            let off = if t.reference.x > 100.0 { by } else { -by };
            t.found(t.reference + t.search * off)
        });
        sum += locate(Freedoms::PLAN, &touches, 0.15)
            .map_or(0.0, |l| l.motion.rotation_vector().z + l.covariance.sigma(0));
    }
    sum
}

/// Studies this many runs, closed form or (1) Gauss–Newton, on one thread; the 95th percentile, mm.
#[unsafe(no_mangle)]
pub extern "C" fn studies(gauss_newton: u32, runs: u32) -> f64 {
    let engine = if gauss_newton == 1 { Engine::GaussNewton } else { Engine::ClosedForm };
    let settings = rectangle::settings(engine, runs as usize, 1);
    study_layout(&rectangle::touches(), &rectangle::seam(), &settings).map_or(f64::NAN, |r| r.p95_mm)
}
