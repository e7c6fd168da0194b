//! Monte Carlo study of a layout of touches: the deviation of the weld points over many
//! production runs with random motions and noise, without a cell and without logs.
//!
//! Every run draws a slide and a turn (uniform), intersects each search with its moved
//! face, adds gaussian noise along the search, locates the part by the same least
//! squares as [`locate`](super::locate) and compares the true weld points with the
//! located ones. For *slide and turn*, with any faces, any number of touches, any search
//! directions and any weld points.
//!
//! Runs are computed in blocks that the compiler vectorises, and in chunks with a seed of
//! their own, so that the result does not depend on the number of threads.

mod kernel;
mod lanes;
mod percentile;
mod plan;
mod random;
mod settings;

pub use settings::{Engine, LayoutStudyError, LayoutStudySettings};

use super::Touch;
use kernel::Kernel;
use lanes::LANES;
use nalgebra::Point3;
use percentile::Counts;
use plan::Plan;
use random::Random;
use serde::{Deserialize, Serialize};
use std::sync::Mutex;

/// Number of runs with one seed; a multiple of the block.
const CHUNK: usize = 128 * LANES;

/// Deviation of the weld points; of each run the greatest over the weld points, on the plan.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LayoutStudyResult {
    /// The method that located the part; never [`Engine::Auto`].
    pub engine: Engine,
    /// Number of runs.
    pub runs: usize,
    /// Median deviation, mm (nearest rank, as the next two).
    pub p50_mm: f64,
    /// 95th percentile, mm.
    pub p95_mm: f64,
    /// 99th percentile, mm.
    pub p99_mm: f64,
    /// Greatest deviation, mm.
    pub worst_mm: f64,
    /// Share of the runs inside the tolerance, 0 to 1.
    pub inside: f64,
}

/// Runs the study. Touches and weld points in the work frame, mm.
///
/// # Errors
///
/// If the touches cannot locate the part, or a setting is out of range.
pub fn study_layout(
    touches: &[Touch],
    weld_points: &[Point3<f64>],
    settings: &LayoutStudySettings,
) -> Result<LayoutStudyResult, LayoutStudyError> {
    let plan = Plan::new(touches, weld_points, settings)?;
    let limit = (settings.tolerance_mm * settings.tolerance_mm) as f32;
    let mut squares = vec![0.0_f32; settings.runs];
    let counts = {
        let work = Mutex::new(squares.chunks_mut(CHUNK).enumerate());
        let worker = || {
            let (mut kernel, mut counts) = (Kernel::new(&plan, settings), Counts::new(limit));
            // A panic of another worker leaves the queue intact.
            let next = || work.lock().unwrap_or_else(std::sync::PoisonError::into_inner).next();
            while let Some((number, chunk)) = next() {
                fill(&mut kernel, settings.seed, number, chunk);
                counts.add(chunk);
            }
            counts
        };
        on_threads(settings.threads, &worker)
    };
    let shares = [0.5, 0.95, 0.99, 1.0];
    let [p50_mm, p95_mm, p99_mm, worst_mm] = counts
        .percentiles(&squares, shares, settings.threads)
        .map(|square| f64::from(square).sqrt());
    let inside = counts.within() as f64 / settings.runs as f64;
    Ok(LayoutStudyResult {
        engine: plan.engine,
        runs: settings.runs,
        p50_mm,
        p95_mm,
        p99_mm,
        worst_mm,
        inside,
    })
}

/// Fills one chunk with the squared deviations of its runs, mm².
fn fill(kernel: &mut Kernel, seed: u64, number: usize, chunk: &mut [f32]) {
    let mut random = Random::new(seed, number as u64);
    let (blocks, rest) = chunk.as_chunks_mut::<LANES>();
    for block in blocks {
        kernel.block(&mut random, block);
    }
    if !rest.is_empty() {
        let mut block = [0.0; LANES];
        kernel.block(&mut random, &mut block);
        rest.copy_from_slice(&block[..rest.len()]);
    }
}

/// Runs `worker` on `threads` threads, the calling one included, and merges their counts.
fn on_threads(threads: usize, worker: &(impl Fn() -> Counts + Sync)) -> Counts {
    if threads <= 1 {
        return worker();
    }
    std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(worker)).collect();
        let mut counts = worker();
        for other in others {
            match other.join() {
                Ok(more) => counts.merge(&more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        counts
    })
}
