//! The same work for both sides: planar solves with covariance, a study of whole production runs, and best layouts.

#[path = "../../rectangle.rs"]
mod rectangle;

use nudgeproof::cell::parts;
use nudgeproof::lesson::best_layouts;
use nudgeproof::locate::{Freedoms, locate};
use nudgeproof::session::{Session, Study};

const SESSION: &str = include_str!("../../../cases/sessions/as-it-should-be.json");

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

/// Studies this many whole production runs; the 95th percentile of the seam miss, mm.
#[unsafe(no_mangle)]
pub extern "C" fn studies(runs: u32) -> f64 {
    let session = Session::from_json(SESSION).ok();
    let study = session.and_then(|session| Study::new(session.state(), 1).ok());
    let tally = study.map(|study| study.run(1..1 + runs as usize));
    tally.and_then(|tally| tally.worst_mm.percentile(0.95)).unwrap_or(f64::NAN)
}

/// The best layouts of this one of the program's parts; the sum of their shares of what is allowed.
#[unsafe(no_mangle)]
pub extern "C" fn layouts(part: u32) -> f64 {
    let part = &parts()[part as usize];
    best_layouts(part, &[]).iter().map(|choice| choice.share).sum()
}

/// How many parts come with the program.
#[unsafe(no_mangle)]
pub extern "C" fn part_count() -> u32 {
    parts().len() as u32
}
